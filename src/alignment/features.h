// Points of a photo that can be found again in another photo, and which of them are the same spot.
//
// Scale-invariant features (Lowe 2004) with the square-root norm (Arandjelovic and Zisserman 2012), found on
// a reduced photo: what is needed here is a first guess, the exactness comes from patches at full size.
// Boards are full of like parts, so a likeness alone proves nothing: a match must be mutual, clearly
// better than the next place, and its neighbours must move along with it.
#pragma once

#include <cstdint>
#include <vector>

#include "domain/frames.h"

namespace cv {
class Mat;
}

namespace boardlore {

struct Feature {
  PhotoPoint at;     // of the full-size photo
  float size_px = 0; // of the full-size photo
  float angle_rad = 0;
};

// Plain data: the same photo gives the same bytes. 128 numbers a feature, each descriptor of length
// about `descriptor_length`.
struct FeatureSet {
  int width_px = 0, height_px = 0;   // the full-size photo
  int searched_px = 0;               // longest side of the reduced photo they were found on
  std::vector<Feature> features;
  std::vector<std::int16_t> descriptors;

  const std::int16_t* descriptor(std::size_t index) const { return descriptors.data() + 128 * index; }
};

inline constexpr double descriptor_length = 2048;

// `grey` is the full-size photo, 8 bit. At most `most` features, the most contrasted ones.
FeatureSet find_features(const cv::Mat& grey, int longest_side_px, int most);

struct Match {
  std::size_t a = 0, b = 0;   // indices into the two sets
  double likeness = 0;        // cosine, 1: the same
  double distinct = 0;        // distance to the next best place's over this one's; above 1
};

// Mutual best matches, at least `least_distinct` times nearer than the next best place.
std::vector<Match> match_features(const FeatureSet& a, const FeatureSet& b, double least_distinct);

// Matches whose neighbours move along: each match's own turn and scale predict where its neighbours'
// partners lie. Of two matches alone by chance, none survives.
std::vector<Match> consistent_matches(const FeatureSet& a, const FeatureSet& b, const std::vector<Match>& matches);

// With a first map b_from_a at hand: for each feature of `a` the likest of `b` within `reach_px` (of b).
std::vector<Match> guided_matches(const FeatureSet& a, const FeatureSet& b,
                                  const Homography<PhotoPoint, PhotoPoint>& b_from_a, double reach_px);

}  // namespace boardlore
