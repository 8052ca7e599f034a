#include "pictures/jpeg_quick_preview.h"

#include <algorithm>
#include <array>
#include <memory>

#include "pictures/jpeg_huffman_skip.h"
#include "pictures/jpeg_segments.h"

namespace boardlore {
namespace {

struct Component {
  unsigned id = 0, h = 1, v = 1, quantiser = 0, dc_table = 0, ac_table = 0;
  int columns = 0, rows = 0;          // of blocks, whole MCUs
  std::vector<std::uint8_t> means;
};

struct Plan {
  int width = 0, height = 0;
  std::vector<Component> components;
  unsigned h_max = 1, v_max = 1, restart_interval = 0;
  std::array<int, 4> first_step{};    // quantiser step of the mean; 0: not given
  std::array<SkipTable, 4> dc, ac;
  std::span<const std::byte> scan;
};

unsigned byte_at(std::span<const std::byte> data, std::size_t at) { return std::to_integer<unsigned>(data[at]); }

bool read_quantisers(std::span<const std::byte> data, Plan& plan) {
  while (!data.empty()) {
    const unsigned head = byte_at(data, 0);
    const std::size_t step_bytes = head >> 4 != 0 ? 2 : 1, size = 1 + 64 * step_bytes;
    if ((head & 15) > 3 || data.size() < size) return false;
    plan.first_step[head & 15] = static_cast<int>(step_bytes == 2 ? byte_at(data, 1) << 8 | byte_at(data, 2) : byte_at(data, 1));
    data = data.subspan(size);
  }
  return true;
}

bool read_codes(std::span<const std::byte> data, Plan& plan) {
  while (!data.empty()) {
    if (data.size() < 17) return false;
    const unsigned head = byte_at(data, 0);
    std::size_t symbols = 0;
    for (std::size_t i = 1; i <= 16; ++i) symbols += byte_at(data, i);
    if ((head & 15) > 3 || head >> 4 > 1 || data.size() < 17 + symbols) return false;
    SkipTable& table = (head >> 4 != 0 ? plan.ac : plan.dc)[head & 15];
    if (!table.build(data.subspan<1, 16>(), data.subspan(17, symbols))) return false;
    data = data.subspan(17 + symbols);
  }
  return true;
}

bool read_frame(std::span<const std::byte> data, Plan& plan) {
  if (data.size() < 6 || !plan.components.empty() || byte_at(data, 0) != 8) return false;
  plan.height = static_cast<int>(byte_at(data, 1) << 8 | byte_at(data, 2));
  plan.width = static_cast<int>(byte_at(data, 3) << 8 | byte_at(data, 4));
  const std::size_t count = byte_at(data, 5);
  if ((count != 1 && count != 3) || data.size() != 6 + 3 * count || plan.width == 0 || plan.height == 0) return false;
  for (std::size_t i = 0; i < count; ++i) {
    Component part;
    part.id = byte_at(data, 6 + 3 * i);
    part.h = byte_at(data, 7 + 3 * i) >> 4;
    part.v = byte_at(data, 7 + 3 * i) & 15;
    part.quantiser = byte_at(data, 8 + 3 * i);
    // A single component is coded block by block whatever its sampling says.
    if (count == 1) part.h = part.v = 1;
    if (part.h < 1 || part.h > 2 || part.v < 1 || part.v > 2 || part.quantiser > 3) return false;
    if (count == 3 && part.id != i + 1) return false;  // other ids may mean other colours
    plan.h_max = std::max(plan.h_max, part.h);
    plan.v_max = std::max(plan.v_max, part.v);
    plan.components.push_back(std::move(part));
  }
  return true;
}

bool read_scan_header(std::span<const std::byte> data, Plan& plan) {
  const std::size_t count = plan.components.size();
  if (count == 0 || data.size() != 4 + 2 * count || byte_at(data, 0) != count) return false;
  for (std::size_t i = 0; i < count; ++i) {
    Component& part = plan.components[i];
    const unsigned tables = byte_at(data, 2 + 2 * i);
    part.dc_table = tables >> 4;
    part.ac_table = tables & 15;
    if (byte_at(data, 1 + 2 * i) != part.id || part.dc_table > 3 || part.ac_table > 3) return false;
    if (!plan.dc[part.dc_table].built() || !plan.ac[part.ac_table].built()) return false;
    if (plan.first_step[part.quantiser] == 0) return false;
  }
  return true;
}

bool read_plan(const JpegSegments& jpeg, Plan& plan) {
  for (const JpegSegment& segment : jpeg.segments) {
    bool fits = true;
    switch (segment.marker) {
      case 0xC0:
      case 0xC1: fits = read_frame(segment.data, plan); break;
      case 0xC4: fits = plan.scan.empty() && read_codes(segment.data, plan); break;
      case 0xDB: fits = plan.scan.empty() && read_quantisers(segment.data, plan); break;
      case 0xDD:
        fits = segment.data.size() == 2;
        if (fits) plan.restart_interval = byte_at(segment.data, 0) << 8 | byte_at(segment.data, 1);
        break;
      case 0xDA:
        fits = plan.scan.empty() && read_scan_header(segment.data, plan);
        plan.scan = segment.scan;
        break;
      case 0xEE:  // Adobe: colour transform 1 is YCbCr, 0 is none
        fits = !segment.starts_with("Adobe") || (segment.data.size() >= 12 && byte_at(segment.data, 11) == 1);
        break;
      default: fits = segment.marker == 0xD8 || segment.marker == 0xD9 || segment.marker >= 0xE0; break;
    }
    if (!fits) return false;
  }
  return !plan.scan.empty();
}

// The difference that `size` bits stand for (T.81, F.2.2.1).
int difference(ScanBits& bits, unsigned size) {
  if (size == 0) return 0;
  const int value = static_cast<int>(bits.peek(size));
  bits.drop(size);
  return value >= 1 << (size - 1) ? value : value - (1 << size) + 1;
}

bool read_block(ScanBits& bits, const SkipTable& dc, const SkipTable& ac, int& last_mean) {
  bits.refill();
  const int size = dc.symbol(bits);
  if (size < 0 || size > 11) return false;
  last_mean += difference(bits, static_cast<unsigned>(size));
  if (last_mean < -(1 << 15) || last_mean > 1 << 15) return false;
  return ac.skip_block(bits);
}

bool read_means(Plan& plan, const std::stop_token& stop) {
  const int mcu_w = 8 * static_cast<int>(plan.h_max), mcu_h = 8 * static_cast<int>(plan.v_max);
  const int mcu_columns = (plan.width + mcu_w - 1) / mcu_w, mcu_rows = (plan.height + mcu_h - 1) / mcu_h;
  for (Component& part : plan.components) {
    part.columns = mcu_columns * static_cast<int>(part.h);
    part.rows = mcu_rows * static_cast<int>(part.v);
    part.means.resize(static_cast<std::size_t>(part.columns) * static_cast<std::size_t>(part.rows));
  }
  ScanBits bits(plan.scan);
  std::array<int, 3> last_mean{};
  unsigned since_restart = 0;
  for (int mcu_y = 0; mcu_y < mcu_rows; ++mcu_y) {
    if (stop.stop_requested() || bits.overrun()) return false;
    for (int mcu_x = 0; mcu_x < mcu_columns; ++mcu_x, ++since_restart) {
      if (plan.restart_interval != 0 && since_restart == plan.restart_interval) {
        if (bits.overrun() || !bits.restart()) return false;
        last_mean = {};
        since_restart = 0;
      }
      for (std::size_t i = 0; i < plan.components.size(); ++i) {
        Component& part = plan.components[i];
        const int h = static_cast<int>(part.h), v = static_cast<int>(part.v);
        for (int block = 0; block < h * v; ++block) {
          if (!read_block(bits, plan.dc[part.dc_table], plan.ac[part.ac_table], last_mean[i])) return false;
          const long long scaled = static_cast<long long>(last_mean[i]) * plan.first_step[part.quantiser];
          const int x = mcu_x * h + block % h, y = mcu_y * v + block / h;
          part.means[static_cast<std::size_t>(y) * static_cast<std::size_t>(part.columns) + static_cast<std::size_t>(x)] =
              static_cast<std::uint8_t>(std::clamp<long long>(((scaled + 4) >> 3) + 128, 0, 255));
        }
      }
    }
  }
  return !bits.overrun();
}

std::uint8_t mean_at(const Plan& plan, const Component& part, int x, int y) {
  const int column = x * static_cast<int>(part.h) / static_cast<int>(plan.h_max);
  const int row = y * static_cast<int>(part.v) / static_cast<int>(plan.v_max);
  return part.means[static_cast<std::size_t>(row) * static_cast<std::size_t>(part.columns) + static_cast<std::size_t>(column)];
}

std::uint8_t colour(double value) { return static_cast<std::uint8_t>(std::clamp(value + 0.5, 0.0, 255.0)); }

Raster in_colour(const Plan& plan) {
  Raster raster{(plan.width + 7) / 8, (plan.height + 7) / 8, {}};
  raster.rgba.resize(4 * static_cast<std::size_t>(raster.width_px) * static_cast<std::size_t>(raster.height_px));
  std::uint8_t* out = raster.rgba.data();
  for (int y = 0; y < raster.height_px; ++y)
    for (int x = 0; x < raster.width_px; ++x, out += 4) {
      const double luma = mean_at(plan, plan.components[0], x, y);
      out[0] = out[1] = out[2] = colour(luma);
      out[3] = 255;
      if (plan.components.size() == 1) continue;
      // JFIF 1.02: YCbCr of ITU-R BT.601, full range.
      const double cb = mean_at(plan, plan.components[1], x, y) - 128, cr = mean_at(plan, plan.components[2], x, y) - 128;
      out[0] = colour(luma + 1.402 * cr);
      out[1] = colour(luma - 0.344136 * cb - 0.714136 * cr);
      out[2] = colour(luma + 1.772 * cb);
    }
  return raster;
}

}  // namespace

std::optional<Raster> quick_eighth(std::span<const std::byte> jpeg, std::stop_token stop) {
  const Result<JpegSegments> segments = jpeg_segments(jpeg, "");
  if (!segments) return std::nullopt;
  const auto plan = std::make_unique<Plan>();  // its tables are too large for a thread's stack
  if (!read_plan(*segments, *plan) || !read_means(*plan, stop)) return std::nullopt;
  return in_colour(*plan);
}

}  // namespace boardlore
