#include "geometry/point_set.h"

#include <algorithm>
#include <cstdio>

#include "geometry/map_estimate.h"

namespace boardlore {
namespace {

using Points = std::vector<std::array<double, 2>>;

Problem refused(std::string where, std::string expected, std::string found) {
  return {"", std::move(where), std::move(expected), std::move(found), Outcome::bad_input};
}

std::string number(std::size_t index) { return std::to_string(index + 1); }

Points photo_points(const std::vector<Fiducial>& fiducials) {
  Points points;
  for (const Fiducial& f : fiducials) points.push_back({f.photo.x_px, f.photo.y_px});
  return points;
}

Points board_points(const std::vector<Fiducial>& fiducials) {
  Points points;
  for (const Fiducial& f : fiducials) points.push_back({f.board.x_mm, f.board.y_mm});
  return points;
}

double extent(const Points& points) {
  double largest = 0;
  for (const auto& p : points) largest = std::max(largest, std::hypot(p[0] - points[0][0], p[1] - points[0][1]));
  return largest;
}

double apart(const Points& points, std::size_t i, std::size_t j) {
  return std::hypot(points[i][0] - points[j][0], points[i][1] - points[j][1]);
}

// Two picks nearer than this part of the set's extent are one place.
constexpr double same_place_ratio = 1e-3;
// A second pick of one place may be off by this much in the other frame; more is a mix-up.
constexpr double second_pick_ratio = 0.02;

// First index of each different place.
std::vector<std::size_t> different_places(const Points& points) {
  const double near = same_place_ratio * extent(points);
  std::vector<std::size_t> kept;
  for (std::size_t i = 0; i < points.size(); ++i)
    if (std::none_of(kept.begin(), kept.end(), [&](std::size_t k) { return apart(points, i, k) <= near; }))
      kept.push_back(i);
  return kept;
}

// Width over length of the set: square root of the ratio of the spread's principal values.
double width_ratio(const Points& points) {
  const Normaliser n = normaliser_of(points);
  double xx = 0, yy = 0, xy = 0;
  for (const auto& p : points) {
    const double x = p[0] - n.centre_x, y = p[1] - n.centre_y;
    xx += x * x, yy += y * y, xy += x * y;
  }
  const double half = 0.5 * (xx + yy), root = std::hypot(0.5 * (xx - yy), xy);
  return half + root > 0 ? std::sqrt(std::max(0.0, (half - root) / (half + root))) : 0;
}

// Smallest height of a triangle over its longest side.
double triangle_ratio(const Points& p, std::size_t a, std::size_t b, std::size_t c) {
  const double area2 = std::fabs((p[b][0] - p[a][0]) * (p[c][1] - p[a][1]) - (p[b][1] - p[a][1]) * (p[c][0] - p[a][0]));
  const double longest = std::max({apart(p, a, b), apart(p, b, c), apart(p, a, c)});
  return longest > 0 ? area2 / (longest * longest) : 0;
}

Result<Done> check_line(const Points& points, const char* frame, MapModel model) {
  if (width_ratio(points) < line_width_ratio)
    return refused("points", "points spread over an area",
                   std::string("all of them on one line ") + frame + "; add a point away from that line");
  if (model != MapModel::homography) return Done{};
  const std::vector<std::size_t> places = different_places(points);
  if (places.size() != 4) return Done{};
  for (std::size_t left_out = 0; left_out < 4; ++left_out) {
    std::vector<std::size_t> three;
    for (std::size_t k = 0; k < 4; ++k)
      if (k != left_out) three.push_back(places[k]);
    if (triangle_ratio(points, three[0], three[1], three[2]) < line_width_ratio)
      return refused("points " + number(three[0]) + ", " + number(three[1]) + ", " + number(three[2]),
                     "four points of which no three are on a line",
                     std::string("these three on one line ") + frame + "; move one of them, or add a point");
  }
  return Done{};
}

}  // namespace

Result<MapModel> model_for(const std::vector<Fiducial>& fiducials) {
  const auto finite = [](double x) { return std::isfinite(x) && std::fabs(x) < 1e9; };
  for (std::size_t i = 0; i < fiducials.size(); ++i) {
    const Fiducial& f = fiducials[i];
    if (!finite(f.photo.x_px) || !finite(f.photo.y_px) || !finite(f.board.x_mm) || !finite(f.board.y_mm))
      return refused("point " + number(i), "finite coordinates under 1e9", "a coordinate that is not");
  }
  if (fiducials.size() < 2)
    return refused("points", "2 points or more (2 similarity, 3 affine, 4 homography)",
                   std::to_string(fiducials.size()));
  const Points photo = photo_points(fiducials), board = board_points(fiducials);
  const double photo_extent = extent(photo), board_extent = extent(board);
  if (!(photo_extent > 0)) return refused("points", "points apart in the photo", "all of them on one spot");
  if (!(board_extent > 0)) return refused("points", "points apart on the board", "all of them on one spot");
  for (std::size_t i = 0; i < fiducials.size(); ++i)
    for (std::size_t j = i + 1; j < fiducials.size(); ++j) {
      const double in_photo = apart(photo, i, j) / photo_extent, on_board = apart(board, i, j) / board_extent;
      const std::string pair = "points " + number(i) + " and " + number(j);
      char found[120];
      if (in_photo <= same_place_ratio && on_board > second_pick_ratio) {
        std::snprintf(found, sizeof found, "the same spot in the photo, %.3g mm apart on the board",
                      on_board * board_extent);
        return refused(pair, "points that differ in both frames", found);
      }
      if (on_board <= same_place_ratio && in_photo > second_pick_ratio) {
        std::snprintf(found, sizeof found, "the same spot on the board, %.3g px apart in the photo",
                      in_photo * photo_extent);
        return refused(pair, "points that differ in both frames", found);
      }
    }
  const std::size_t places = std::min(different_places(photo).size(), different_places(board).size());
  if (places < 2) return refused("points", "2 different places or more", "one place");
  return places == 2 ? MapModel::similarity : places == 3 ? MapModel::affine : MapModel::homography;
}

Result<Done> check_spread(const std::vector<Fiducial>& fiducials, MapModel model) {
  if (model == MapModel::similarity) return Done{};
  if (const auto in_photo = check_line(photo_points(fiducials), "in the photo", model); !in_photo) return in_photo;
  return check_line(board_points(fiducials), "on the board", model);
}

Result<Done> check_map(const BoardFromPhoto& board_from_photo, const std::vector<Fiducial>& fiducials, Side side) {
  double smallest = HUGE_VAL, largest = 0;
  int positive = 0, negative = 0;
  for (const Fiducial& f : fiducials) {
    const double w = w_at(board_from_photo, f.photo);
    (w > 0 ? positive : negative) += 1;
    smallest = std::min(smallest, std::fabs(w));
    largest = std::max(largest, std::fabs(w));
  }
  // A photo taken so flat that one point is fifty times as far away as another is not taken; a mix-up is.
  if ((positive > 0 && negative > 0) || !(smallest > 0.02 * largest))
    return refused("points", "points in the same order in the photo and on the board",
                   "the map's horizon between them, as when two points are swapped (crossed corners)");
  const auto d = derivative_at(board_from_photo, fiducials.front().photo);
  const bool shows_bottom = d[0] * d[3] - d[1] * d[2] > 0;  // photo y runs down, board y up: the top turns over
  if (shows_bottom != (side == Side::bottom))
    return refused("points", side == Side::top ? "a photo of the top" : "a photo of the bottom",
                   "these points show the board from the other side; change the photo's side, or swap left and right "
                   "of the points");
  return Done{};
}

}  // namespace boardlore
