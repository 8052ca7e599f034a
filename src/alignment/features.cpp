#include "alignment/features.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <opencv2/features2d.hpp>
#include <opencv2/imgproc.hpp>
#include <unordered_map>

namespace boardlore {
namespace {

// Whole numbers so that the product is exact, the same on every machine, and quick (16 bit multiply-add).
inline std::int32_t product(const std::int16_t* a, const std::int16_t* b) {
  std::int32_t sum = 0;
  for (int i = 0; i < 128; ++i) sum += static_cast<std::int32_t>(a[i]) * static_cast<std::int32_t>(b[i]);
  return sum;
}

// Best and next best place; two features at one place (it has two directions) are one place.
struct BestTwo {
  std::int32_t best = -1, next = -1;
  std::size_t index = 0;

  void offer(std::int32_t value, std::size_t candidate, const std::vector<Feature>& features) {
    if (value <= next) return;
    if (best < 0) {
      best = value, index = candidate;
      return;
    }
    const bool same_place = distance_px(features[candidate].at, features[index].at) <
                            0.25 * std::max(features[candidate].size_px, features[index].size_px);
    if (value > best) {
      if (!same_place) next = best;
      best = value, index = candidate;
    } else if (!same_place) {
      next = value;
    }
  }
};

double distance_of(std::int32_t value) {
  return std::sqrt(std::max(0.0, 2 - 2 * value / (descriptor_length * descriptor_length)));
}

double turn_between(double from_rad, double to_rad) {
  return std::remainder(to_rad - from_rad, 2 * std::numbers::pi);
}

}  // namespace

FeatureSet find_features(const cv::Mat& grey, int longest_side_px, int most) {
  FeatureSet set;
  set.width_px = grey.cols;
  set.height_px = grey.rows;
  const int longest = std::max(grey.cols, grey.rows);
  set.searched_px = std::min(longest, longest_side_px);
  cv::Mat reduced = grey;
  if (set.searched_px < longest) {
    const double factor = static_cast<double>(set.searched_px) / longest;
    cv::resize(grey, reduced,
               cv::Size(std::max(8, cvRound(grey.cols * factor)), std::max(8, cvRound(grey.rows * factor))), 0, 0,
               cv::INTER_AREA);
  }
  const double scale_x = static_cast<double>(grey.cols) / reduced.cols;
  const double scale_y = static_cast<double>(grey.rows) / reduced.rows;
  // A lower contrast limit than the usual 0.04: dim photos and dark solder mask would starve.
  const auto finder = cv::SIFT::create(most, 3, 0.02, 10, 1.6);
  std::vector<cv::KeyPoint> points;
  cv::Mat rows;
  finder->detectAndCompute(reduced, cv::noArray(), points, rows);

  std::vector<std::size_t> order(points.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  const auto key = [&](std::size_t i) {
    const cv::KeyPoint& p = points[i];
    return std::make_tuple(-p.response, p.pt.x, p.pt.y, p.size, p.angle);
  };
  std::sort(order.begin(), order.end(), [&](std::size_t i, std::size_t j) { return key(i) < key(j); });
  if (order.size() > static_cast<std::size_t>(most)) order.resize(static_cast<std::size_t>(most));
  set.features.reserve(order.size());
  set.descriptors.resize(128 * order.size());
  for (std::size_t k = 0; k < order.size(); ++k) {
    const cv::KeyPoint& p = points[order[k]];
    // Rounded to what the cache keeps, so that a kept set and a new one are the same.
    const auto kept = [](double value) { return static_cast<double>(static_cast<float>(value)); };
    set.features.push_back({PhotoPoint{kept((p.pt.x + 0.5) * scale_x), kept((p.pt.y + 0.5) * scale_y)},
                            static_cast<float>(p.size * scale_x),
                            static_cast<float>(p.angle * std::numbers::pi / 180)});
    const float* row = rows.ptr<float>(static_cast<int>(order[k]));
    double sum = 1e-9;
    for (int i = 0; i < 128; ++i) sum += row[i];
    for (int i = 0; i < 128; ++i)
      set.descriptors[128 * k + static_cast<std::size_t>(i)] =
          static_cast<std::int16_t>(std::lround(std::sqrt(row[i] / sum) * descriptor_length));
  }
  return set;
}

std::vector<Match> match_features(const FeatureSet& a, const FeatureSet& b, double least_distinct) {
  std::vector<BestTwo> of_a(a.features.size()), of_b(b.features.size());
  for (std::size_t i = 0; i < a.features.size(); ++i)
    for (std::size_t j = 0; j < b.features.size(); ++j) {
      const std::int32_t value = product(a.descriptor(i), b.descriptor(j));
      of_a[i].offer(value, j, b.features);
      of_b[j].offer(value, i, a.features);
    }
  std::vector<Match> matches;
  for (std::size_t i = 0; i < a.features.size(); ++i) {
    const BestTwo& forth = of_a[i];
    if (forth.best < 0) continue;
    const BestTwo& back = of_b[forth.index];
    // Mutual, or mutual up to a second direction at the same place.
    if (distance_px(a.features[back.index].at, a.features[i].at) > 0.25 * a.features[i].size_px) continue;
    const double here = distance_of(forth.best);
    const double next = std::min(distance_of(forth.next), distance_of(back.next));
    if (here > 0.9 || next < least_distinct * here) continue;
    matches.push_back({i, forth.index, forth.best / (descriptor_length * descriptor_length), next / std::max(here, 1e-6)});
  }
  return matches;
}

std::vector<Match> consistent_matches(const FeatureSet& a, const FeatureSet& b, const std::vector<Match>& matches) {
  constexpr std::size_t neighbours = 12;
  std::vector<Match> kept;
  std::vector<std::pair<double, std::size_t>> near;
  for (std::size_t m = 0; m < matches.size(); ++m) {
    const Feature& from = a.features[matches[m].a];
    const Feature& to = b.features[matches[m].b];
    near.clear();
    for (std::size_t k = 0; k < matches.size(); ++k)
      if (k != m) {
        const double d = distance_px(a.features[matches[k].a].at, from.at);
        // The same place in another direction is no second witness.
        if (d > 0.5 * from.size_px) near.emplace_back(d, k);
      }
    const std::size_t count = std::min(neighbours, near.size());
    std::partial_sort(near.begin(), near.begin() + static_cast<std::ptrdiff_t>(count), near.end());
    const double turn = turn_between(from.angle_rad, to.angle_rad), scale = to.size_px / from.size_px;
    const double c = std::cos(turn) * scale, s = std::sin(turn) * scale;
    int along = 0;
    for (std::size_t k = 0; k < count; ++k) {
      const Feature& other = a.features[matches[near[k].second].a];
      const Feature& partner = b.features[matches[near[k].second].b];
      const double dx = other.at.x_px - from.at.x_px, dy = other.at.y_px - from.at.y_px;
      const PhotoPoint expected{to.at.x_px + c * dx - s * dy, to.at.y_px + s * dx + c * dy};
      const double other_turn = turn_between(other.angle_rad, partner.angle_rad);
      // A tilt of 45 degrees turns and stretches locally by up to these amounts.
      if (distance_px(expected, partner.at) < 0.45 * scale * near[k].first &&
          std::fabs(turn_between(turn, other_turn)) < 0.6)
        ++along;
    }
    if (along >= 2) kept.push_back(matches[m]);
  }
  return kept;
}

std::vector<Match> guided_matches(const FeatureSet& a, const FeatureSet& b,
                                  const Homography<PhotoPoint, PhotoPoint>& b_from_a, double reach_px) {
  const double cell = std::max(reach_px, 1.0);
  const auto key = [&](PhotoPoint p, int dx, int dy) {
    return (static_cast<std::int64_t>(std::floor(p.x_px / cell)) + dx) * 1000003 +
           (static_cast<std::int64_t>(std::floor(p.y_px / cell)) + dy);
  };
  std::unordered_map<std::int64_t, std::vector<std::size_t>> grid;
  for (std::size_t j = 0; j < b.features.size(); ++j) grid[key(b.features[j].at, 0, 0)].push_back(j);
  std::vector<Match> matches;
  for (std::size_t i = 0; i < a.features.size(); ++i) {
    const Feature& from = a.features[i];
    const auto there = b_from_a(from.at);
    if (!there || there->x_px < 0 || there->y_px < 0 || there->x_px > b.width_px || there->y_px > b.height_px) continue;
    // Where the feature's direction points to after the map, and how large it becomes.
    const auto tip = b_from_a(PhotoPoint{from.at.x_px + from.size_px * std::cos(from.angle_rad),
                                         from.at.y_px + from.size_px * std::sin(from.angle_rad)});
    if (!tip) continue;
    const double angle = std::atan2(tip->y_px - there->y_px, tip->x_px - there->x_px);
    const double size = distance_px(*tip, *there);
    std::int32_t best = -1;
    std::size_t best_index = 0;
    for (int dx = -1; dx <= 1; ++dx)
      for (int dy = -1; dy <= 1; ++dy) {
        const auto found = grid.find(key(*there, dx, dy));
        if (found == grid.end()) continue;
        for (const std::size_t j : found->second) {
          const Feature& to = b.features[j];
          if (distance_px(to.at, *there) > reach_px || std::fabs(turn_between(angle, to.angle_rad)) > 0.5) continue;
          if (to.size_px > 1.7 * size || size > 1.7 * to.size_px) continue;
          const std::int32_t value = product(a.descriptor(i), b.descriptor(j));
          if (value > best) best = value, best_index = j;
        }
      }
    const double likeness = best / (descriptor_length * descriptor_length);
    if (likeness > 0.75) matches.push_back({i, best_index, likeness, 1});
  }
  return matches;
}

}  // namespace boardlore
