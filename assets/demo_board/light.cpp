#include "light.h"

#include <algorithm>
#include <cmath>

#include "dice.h"
#include "parts.h"

namespace demo_board {
namespace {

double lattice(std::int64_t x, std::int64_t y, std::uint32_t salt) {
  std::uint64_t h = static_cast<std::uint64_t>(x) * 0x9e3779b97f4a7c15ULL ^ static_cast<std::uint64_t>(y) * 0xc2b2ae3d27d4eb4fULL ^ salt;
  h ^= h >> 29;
  h *= 0xbf58476d1ce4e5b9ULL;
  h ^= h >> 32;
  return static_cast<double>(h & 0xffff) / 32767.5 - 1.0;
}

void box_pass(std::vector<float>& line, std::vector<float>& out, int radius) {
  const int n = static_cast<int>(line.size());
  float sum = 0;
  const float scale = 1.0f / static_cast<float>(2 * radius + 1);
  const auto get = [&](int i) { return line[static_cast<std::size_t>(std::clamp(i, 0, n - 1))]; };
  for (int i = -radius; i <= radius; ++i) sum += get(i);
  for (int i = 0; i < n; ++i) {
    out[static_cast<std::size_t>(i)] = sum * scale;
    sum += get(i + radius + 1) - get(i - radius);
  }
  line.swap(out);
}

void soften(std::vector<float>& plane, int width, int height, int radius) {
  std::vector<float> line, out;
  for (int turn = 0; turn < 2; ++turn) {
    const int along = turn == 0 ? width : height, lines = turn == 0 ? height : width;
    line.resize(static_cast<std::size_t>(along));
    out.resize(static_cast<std::size_t>(along));
    for (int j = 0; j < lines; ++j) {
      const auto index = [&](int i) { return static_cast<std::size_t>(turn == 0 ? j * width + i : i * width + j); };
      for (int i = 0; i < along; ++i) line[static_cast<std::size_t>(i)] = plane[index(i)];
      for (int pass = 0; pass < 3; ++pass) box_pass(line, out, radius);
      for (int i = 0; i < along; ++i) plane[index(i)] = line[static_cast<std::size_t>(i)];
    }
  }
}

// One channel through a small Gaussian: the lens is never perfectly sharp.
void lens_blur(std::vector<float>& plane, int width, int height, double sigma) {
  float kernel[7];
  float sum = 0;
  for (int i = -3; i <= 3; ++i) sum += kernel[i + 3] = static_cast<float>(std::exp(-i * i / (2 * sigma * sigma)));
  std::vector<float> pass(plane.size());
  for (int turn = 0; turn < 2; ++turn) {
    for (int y = 0; y < height; ++y)
      for (int x = 0; x < width; ++x) {
        float v = 0;
        for (int i = -3; i <= 3; ++i) {
          const int xx = turn == 0 ? std::clamp(x + i, 0, width - 1) : x, yy = turn == 1 ? std::clamp(y + i, 0, height - 1) : y;
          v += kernel[i + 3] * plane[static_cast<std::size_t>(yy * width + xx)];
        }
        pass[static_cast<std::size_t>(y * width + x)] = v / sum;
      }
    plane.swap(pass);
  }
}

bool on_board(Point p) {
  const auto& o = outline_mm();
  bool inside = false;
  for (std::size_t i = 0, j = o.size() - 1; i < o.size(); j = i++)
    if ((o[i].y > p.y) != (o[j].y > p.y) && p.x < (o[j].x - o[i].x) * (p.y - o[i].y) / (o[j].y - o[i].y) + o[i].x) inside = !inside;
  return inside;
}

}  // namespace

double smooth_noise(double x, double y, std::uint32_t salt) {
  const double fx = std::floor(x), fy = std::floor(y);
  double u = x - fx, v = y - fy;
  u = u * u * (3 - 2 * u);
  v = v * v * (3 - 2 * v);
  const std::int64_t i = static_cast<std::int64_t>(fx), j = static_cast<std::int64_t>(fy);
  const double a = lattice(i, j, salt), b = lattice(i + 1, j, salt), c = lattice(i, j + 1, salt), d = lattice(i + 1, j + 1, salt);
  return a + (b - a) * u + (c - a) * v + (a - b - c + d) * u * v;
}

Solid light_direction(const Camera& camera, double from_deg) {
  const double rad = from_deg * 3.14159265358979 / 180.0;
  const Point centre = camera.photo_px({board_width_mm / 2, board_height_mm / 2, 0});
  const Point there = camera.board_mm({centre.x + 10 * std::cos(rad), centre.y - 10 * std::sin(rad)});
  const double dx = there.x - board_width_mm / 2, dy = there.y - board_height_mm / 2, length = std::hypot(dx, dy);
  const double elevation = 1.08;
  return {dx / length * std::cos(elevation), dy / length * std::cos(elevation), std::sin(elevation)};
}

void cast_shadow(cairo_surface_t* photo, cairo_surface_t* shadow, double blur_px, double strength) {
  cairo_surface_flush(photo);
  cairo_surface_flush(shadow);
  const int width = cairo_image_surface_get_width(photo), height = cairo_image_surface_get_height(photo);
  unsigned char* data = cairo_image_surface_get_data(photo);
  const unsigned char* dark = cairo_image_surface_get_data(shadow);
  const int stride = cairo_image_surface_get_stride(photo), dark_stride = cairo_image_surface_get_stride(shadow);
  std::vector<float> plane(static_cast<std::size_t>(width * height));
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x) plane[static_cast<std::size_t>(y * width + x)] = dark[y * dark_stride + x];
  soften(plane, width, height, std::max(1, static_cast<int>(blur_px)));
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x) {
      const double keep = 1.0 - strength * static_cast<double>(plane[static_cast<std::size_t>(y * width + x)]) / 255.0;
      for (int k = 0; k < 3; ++k) {
        unsigned char& v = data[y * stride + x * 4 + k];
        v = static_cast<unsigned char>(v * keep + 0.5);
      }
    }
  cairo_surface_mark_dirty(photo);
}

void texture_board(cairo_surface_t* photo, const Camera& camera, const Scene& scene, Solid light) {
  cairo_surface_flush(photo);
  unsigned char* data = cairo_image_surface_get_data(photo);
  const int stride = cairo_image_surface_get_stride(photo);
  const Point hot{board_width_mm / 2 + light.x * 75, board_height_mm / 2 + light.y * 60};
  const std::uint32_t unit = static_cast<std::uint32_t>(scene.unit) * 16;
  for (int y = 0; y < camera.pose().height_px; ++y)
    for (int x = 0; x < camera.pose().width_px; ++x) {
      const Point b = camera.board_mm({x + 0.5, y + 0.5});
      if (!on_board(b)) continue;
      const double weave = 0.009 * (std::sin(b.x * 7.4) + std::sin(b.y * 7.4));
      const double cloud = 0.05 * smooth_noise(b.x * 0.12, b.y * 0.12, unit + 1) + 0.035 * smooth_noise(b.x * 1.1, b.y * 1.1, unit + 2) +
                           0.03 * smooth_noise(b.x * 5, b.y * 5, unit + 3);
      const double d = std::hypot(b.x - hot.x, b.y - hot.y);
      const double gloss = std::exp(-d * d / (2 * 42.0 * 42.0)) * (40 + 6 * smooth_noise(b.x * 0.6, b.y * 0.6, unit + 4));
      for (int k = 0; k < 3; ++k) {
        unsigned char& v = data[y * stride + x * 4 + k];
        v = static_cast<unsigned char>(std::clamp(v * (1 + weave + cloud) + gloss * (1.0 - v / 300.0), 0.0, 255.0));
      }
    }
  cairo_surface_mark_dirty(photo);
}

std::vector<unsigned char> expose(cairo_surface_t* photo, const Scene& scene) {
  cairo_surface_flush(photo);
  const int width = scene.pose.width_px, height = scene.pose.height_px;
  const unsigned char* data = cairo_image_surface_get_data(photo);
  const int stride = cairo_image_surface_get_stride(photo);
  const double rad = scene.light_from_deg * 3.14159265358979 / 180.0;
  const double lx = std::cos(rad), ly = -std::sin(rad);
  const double gain[3] = {scene.red, 1.0, scene.blue};
  std::vector<unsigned char> rgb(static_cast<std::size_t>(width * height) * 3);
  std::vector<float> shared(static_cast<std::size_t>(width * height));  // grain that all channels have in common
  Dice dice(scene.seed * 7919);
  for (float& v : shared) v = static_cast<float>(dice.bell());
  lens_blur(shared, width, height, 0.55);
  for (int k = 0; k < 3; ++k) {
    std::vector<float> plane(static_cast<std::size_t>(width * height));
    for (int y = 0; y < height; ++y)
      for (int x = 0; x < width; ++x) plane[static_cast<std::size_t>(y * width + x)] = data[y * stride + x * 4 + 2 - k];
    lens_blur(plane, width, height, scene.blur_px);
    for (int y = 0; y < height; ++y)
      for (int x = 0; x < width; ++x) {
        const std::size_t i = static_cast<std::size_t>(y * width + x);
        const double u = (x - width / 2.0) / (width / 2.0), v = (y - height / 2.0) / (width / 2.0);
        const double uneven = 1.17 + 0.15 * (u * lx + v * ly) - 0.13 * (u * u + v * v);
        double value = static_cast<double>(plane[i]) / 255.0 * uneven * scene.brightness * gain[k];
        value = value < 0 ? 0 : value;
        value = value > 0.75 ? 0.75 + 0.25 * std::tanh((value - 0.75) / 0.25) : value;  // highlights roll off
        value = 0.012 + 0.988 * (value * 0.8 + 0.2 * value * value * (3 - 2 * value));  // slight S curve, lifted black
        const double grain = scene.noise * (0.8 * static_cast<double>(shared[i]) + 0.35 * dice.bell()) * (0.7 + 0.6 * (1 - value));
        rgb[i * 3 + static_cast<std::size_t>(k)] = static_cast<unsigned char>(std::clamp(value * 255.0 + grain + 0.5, 0.0, 255.0));
      }
  }
  return rgb;
}

}  // namespace demo_board
