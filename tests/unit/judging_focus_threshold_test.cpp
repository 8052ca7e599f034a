// Where `least_focus` comes from: the focus measure of every part of the demo board's own photos as they are, and
// the same regions blurred by known Gaussians, with and without camera noise put on after the blur; and a real photo.
//
// What must be refused: a blur that takes half the contrast of a pin-1 dot of 0.5 mm. By hand: the centre of a disc
// of radius r under a Gaussian of sigma s keeps 1 - exp(-r^2 / 2 s^2); half at s = r / sqrt(2 ln 2) = 0.21 mm.
#include <doctest/doctest.h>

#include "geometry/photo_map.h"
#include "judging/before_lift.h"
#include "pictures/photo_file.h"
#include "pictures/sharpness.h"
#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "support/places.h"

using namespace boardlore;

namespace {

constexpr double dot_radius_mm = 0.25;
const double half_contrast_mm = dot_radius_mm / std::sqrt(2 * std::log(2.0));

// The region of a picture blurred in both directions; what lies beyond the picture's edge counts as the edge.
// A camera blurs light before it adds noise: `noise` is the deviation, in grey levels, of what is put on afterwards.
Raster blurred(const Raster& from, PixelRect region, double sigma_px, double noise, std::mt19937& random) {
  const int reach = static_cast<int>(std::ceil(3 * sigma_px));
  std::vector<double> weights;
  double total = 0;
  for (int i = -reach; i <= reach; ++i) weights.push_back(sigma_px > 0 ? std::exp(-i * i / (2 * sigma_px * sigma_px)) : 1), total += weights.back();
  const auto at = [&](int x, int y, int c) -> double {
    return from.pixel(std::clamp(x, 0, from.width_px - 1), std::clamp(y, 0, from.height_px - 1))[c];
  };
  Raster to{region.width(), region.height(), {}};
  to.rgba.assign(4 * static_cast<std::size_t>(to.width_px) * static_cast<std::size_t>(to.height_px), 255);
  std::normal_distribution<double> grain(0, std::max(noise, 1e-9));
  std::vector<double> across(static_cast<std::size_t>((region.height() + 2 * reach) * region.width()));
  for (int c = 0; c < 3; ++c) {
    for (int y = 0; y < region.height() + 2 * reach; ++y)
      for (int x = 0; x < region.width(); ++x) {
        double sum = 0;
        for (int i = -reach; i <= reach; ++i) sum += weights[static_cast<std::size_t>(i + reach)] * at(region.left + x + i, region.top + y - reach, c);
        across[static_cast<std::size_t>(y * region.width() + x)] = sum / total;
      }
    for (int y = 0; y < region.height(); ++y)
      for (int x = 0; x < region.width(); ++x) {
        double sum = 0;
        for (int i = 0; i <= 2 * reach; ++i) sum += weights[static_cast<std::size_t>(i)] * across[static_cast<std::size_t>((y + i) * region.width() + x)];
        to.pixel(x, y)[c] = static_cast<std::uint8_t>(std::clamp(std::lround(sum / total + (noise > 0 ? grain(random) : 0)), 0L, 255L));
      }
  }
  return to;
}

struct Measured {
  double sigma_mm;
  double noise;
  std::vector<double> focus;  // of each region, in rising order
  double share_under(double threshold) const {
    return static_cast<double>(std::lower_bound(focus.begin(), focus.end(), threshold) - focus.begin()) / static_cast<double>(focus.size());
  }
  double part(double share) const { return focus[static_cast<std::size_t>(share * static_cast<double>(focus.size() - 1))]; }
};

struct Region {
  const Raster* picture;
  PixelRect place;
  double px_per_mm;
};

Measured measure(const std::vector<Region>& regions, double sigma_mm, double noise) {
  Measured measured{sigma_mm, noise, {}};
  std::mt19937 random(7);
  for (const Region& region : regions) {
    const Raster seen = blurred(*region.picture, region.place, sigma_mm * region.px_per_mm, noise, random);
    measured.focus.push_back(focus_measure(seen, {0, 0}, {static_cast<double>(seen.width_px), static_cast<double>(seen.height_px)}, region.px_per_mm));
  }
  std::sort(measured.focus.begin(), measured.focus.end());
  return measured;
}

// Parts of the demo board whose way round matters and that are large enough to be judged at all.
struct DemoParts {
  std::map<Id, Raster> pictures;
  std::vector<Region> regions;
  DemoParts() {
    const std::filesystem::path board = places::source_dir() / "boards/brackenwick-gc12";
    const auto layer = read_layer(*read_file(board / "layer.json"), "layer.json");
    REQUIRE(layer);
    Job job;
    job.photos = layer->photos;
    for (const Photo& photo : job.photos) {
      auto raster = decode_full(board / photo.file);
      REQUIRE(raster);
      pictures[photo.id] = std::move(*raster);
    }
    layer->marks.each([&](const MarkPtr& mark) {
      if (mark->kind != MarkKind::part || !mark->package || (mark->package->pins <= 2 && mark->polarity.empty())) return;
      for (const OrientationCandidate& c : orientation_candidates(*layer, job, *mark))
        if (c.whole && c.px_per_mm >= least_px_per_mm && c.short_side_px >= least_short_side_px)
          regions.push_back({&pictures.at(c.photo),
                             {static_cast<int>(c.low.x_px), static_cast<int>(c.low.y_px), static_cast<int>(c.high.x_px) + 1, static_cast<int>(c.high.y_px) + 1}, c.px_per_mm});
    });
  }
};

std::string words(const Measured& m) {
  char text[200];
  std::snprintf(text, sizeof text, "sigma %.3f mm, noise %.0f: %zu regions, least %.2f, 5 %% %.2f, median %.2f, 95 %% %.2f, most %.2f; under the threshold %.0f %%", m.sigma_mm,
                m.noise, m.focus.size(), m.focus.front(), m.part(0.05), m.part(0.5), m.part(0.95), m.focus.back(), 100 * m.share_under(least_focus));
  return text;
}

}  // namespace

TEST_CASE("the focus threshold parts sharp photos of parts from blurred ones, whatever the grain") {
  const DemoParts demo;
  CHECK(demo.regions.size() > 40);
  for (const double noise : {0.0, 5.0})
    for (const double sigma_mm : {0.0, 0.05, 0.1, 0.15, half_contrast_mm}) {
      const Measured measured = measure(demo.regions, sigma_mm, noise);
      MESSAGE(words(measured));  // for what the comment at the threshold states
      if (sigma_mm == 0) CHECK(measured.share_under(least_focus) == 0);
      if (sigma_mm == half_contrast_mm) CHECK(measured.share_under(least_focus) == 1);
    }
}

TEST_CASE("a real photo of a board, blurred and grained by known amounts") {
  // OpenCV's own example picture (Debian package opencv-doc), 640 x 480; its scale is not known, so it is taken as one of
  // 10 px per mm: the coarsest that the check accepts.
  const std::filesystem::path file = "/usr/share/doc/opencv-doc/examples/data/board.jpg";
  if (!std::filesystem::exists(file)) {
    MESSAGE("skipped: opencv-doc is not installed");
    return;
  }
  const auto picture = decode_full(file);
  REQUIRE(picture);
  std::vector<Region> regions;
  constexpr int side = 80;
  for (int y = 0; y + side <= picture->height_px; y += side)
    for (int x = 0; x + side <= picture->width_px; x += side) regions.push_back({&*picture, {x, y, x + side, y + side}, 10});
  for (const double noise : {0.0, 5.0})
    for (const double sigma_mm : {0.0, 0.05, 0.1, 0.15, half_contrast_mm}) {
      const Measured measured = measure(regions, sigma_mm, noise);
      MESSAGE(words(measured));
      if (sigma_mm == 0) CHECK(measured.share_under(least_focus) == 0);
      if (sigma_mm == half_contrast_mm) CHECK(measured.share_under(least_focus) == 1);
    }
}
