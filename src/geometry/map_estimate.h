// The bare estimate of a map from pairs of points, without judging it; used by registration_fit.
#pragma once

#include <vector>

#include "domain/problem.h"
#include "domain/registration.h"
#include "geometry/small_matrix.h"

namespace boardlore {

struct PointPair {
  PhotoPoint photo;
  BoardPoint board;
};

// Moves the centroid to the origin and makes the mean distance from it sqrt(2): x' = scale * (x - centre).
struct Normaliser {
  double centre_x = 0, centre_y = 0, scale = 1;
};
Normaliser normaliser_of(const std::vector<std::array<double, 2>>& points);

struct DltEstimate {
  BoardFromPhoto board_from_photo;
  double spread = 0;  // second smallest singular value over the largest: near 0 where the points leave the map open
};
// At least 4 pairs. nullopt: singular.
std::optional<DltEstimate> dlt_homography(const std::vector<PointPair>& pairs);
// Least squares in mm from a start (Levenberg-Marquardt), in normalised coordinates.
BoardFromPhoto refined_homography(const BoardFromPhoto& start, const std::vector<PointPair>& pairs);
// At least 3 pairs, not on a line. nullopt: singular.
std::optional<BoardFromPhoto> affine_map(const std::vector<PointPair>& pairs);
// At least 2 different pairs. mirrored: the photo shows the bottom.
std::optional<BoardFromPhoto> similarity_map(const std::vector<PointPair>& pairs, bool mirrored);

// Scaled so that the last element is 1 where it is not near 0.
BoardFromPhoto scaled_to_one(BoardFromPhoto map);
double sum_of_squares_mm2(const BoardFromPhoto& map, const std::vector<PointPair>& pairs);
// d(board)/d(photo) at a point, row major 2x2, mm per px.
std::array<double, 4> derivative_at(const BoardFromPhoto& map, PhotoPoint at);
double w_at(const BoardFromPhoto& map, PhotoPoint at);

}  // namespace boardlore
