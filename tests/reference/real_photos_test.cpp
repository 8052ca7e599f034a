// Real photos of boards with hand-made correspondences, where a checkout has ../shared/photos beside it:
// pairs.json, a list (or {"pairs": [...]}) of {"a": file, "b": file, "points": [{"a": [x,y], "b": [x,y]}, ...]}.
// Four points register both pictures to a made-up frame; the others are carried from one to the other.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>

#include "geometry/photo_map.h"
#include "geometry/registration_fit.h"
#include "storage/file_bytes.h"
#include "storage/json_text.h"
#include "support/places.h"

using namespace boardlore;
using storage::Json;

namespace {

struct Pair {
  PhotoPoint a, b;
};

std::optional<PhotoPoint> point(const Json& json, const char* name) {
  if (!json.is_object() || !json.contains(name) || !json.at(name).is_array() || json.at(name).size() != 2) return std::nullopt;
  return PhotoPoint{json.at(name)[0].get<double>(), json.at(name)[1].get<double>()};
}

std::vector<Pair> points_of(const Json& pair) {
  std::vector<Pair> list;
  if (!pair.is_object() || !pair.contains("points")) return list;
  for (const Json& json : pair.at("points")) {
    const auto a = point(json, "a"), b = point(json, "b");
    if (a && b) list.push_back({*a, *b});
  }
  return list;
}

// The four that span the picture: extremes of x + y and x - y.
std::array<std::size_t, 4> spanning(const std::vector<Pair>& points) {
  std::array<std::size_t, 4> chosen{};
  const auto better = [&](std::size_t slot, auto value) {
    for (std::size_t i = 0; i < points.size(); ++i)
      if (value(points[i].a) > value(points[chosen[slot]].a)) chosen[slot] = i;
  };
  better(0, [](PhotoPoint p) { return p.x_px + p.y_px; });
  better(1, [](PhotoPoint p) { return p.x_px - p.y_px; });
  better(2, [](PhotoPoint p) { return -p.x_px + p.y_px; });
  better(3, [](PhotoPoint p) { return -p.x_px - p.y_px; });
  return chosen;
}

}  // namespace

TEST_CASE("four hand-made points carry the others from one real photo to the other") {
  const std::filesystem::path file = places::shared_dir() / "photos/pairs.json";
  if (!std::filesystem::exists(file)) {
    MESSAGE("skipped: no real photos beside this checkout");
    return;
  }
  const Result<Json> json = storage::parse_json(*read_file(file), file.string());
  REQUIRE(json);
  const Json& pairs = json->is_object() && json->contains("pairs") ? json->at("pairs") : *json;
  REQUIRE(pairs.is_array());
  for (const Json& pair : pairs) {
    const std::vector<Pair> points = points_of(pair);
    if (points.size() < 5) {
      MESSAGE("skipped a pair with " << points.size() << " points of the form known here");
      continue;
    }
    const auto chosen = spanning(points);
    // The made-up frame: photo a's pixels over 20, y up.
    std::vector<Fiducial> in_a, in_b;
    for (const std::size_t i : chosen) {
      const BoardPoint board{points[i].a.x_px / 20, -points[i].a.y_px / 20};
      in_a.push_back({points[i].a, board, "", {}});
      in_b.push_back({points[i].b, board, "", {}});
    }
    const Result<FitReport> fit_a = fit_registration(in_a, Side::top), fit_b = fit_registration(in_b, Side::top);
    REQUIRE_MESSAGE(fit_a, to_text(fit_a.problem()));
    REQUIRE_MESSAGE(fit_b, to_text(fit_b.problem()));
    const Result<PhotoMap> map_a = PhotoMap::from(fit_a->registration), map_b = PhotoMap::from(fit_b->registration);
    std::vector<double> errors_px;
    double reach_px = 0;
    for (std::size_t i = 0; i < points.size(); ++i) {
      reach_px = std::max(reach_px, distance_px(points[i].b, points[0].b));
      if (std::find(chosen.begin(), chosen.end(), i) != chosen.end()) continue;
      const auto carried = map_b->photo_from(*map_a->board_from(points[i].a));
      REQUIRE(carried);
      errors_px.push_back(distance_px(*carried, points[i].b));
    }
    if (errors_px.empty()) continue;
    std::sort(errors_px.begin(), errors_px.end());
    MESSAGE("median " << errors_px[errors_px.size() / 2] << " px, worst " << errors_px.back() << " px of " << reach_px);
    CHECK(errors_px.back() < 0.03 * reach_px);  // hand picks and parallax of tall parts included
  }
}
