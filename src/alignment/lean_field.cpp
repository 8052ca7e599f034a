#include "alignment/lean_field.h"

#include <algorithm>
#include <cmath>
#include <opencv2/core.hpp>

namespace boardlore {
namespace {

constexpr double agrees_within_mm = 0.2;   // a finely placed patch and a height known to a tenth
constexpr std::size_t most_tried = 60;     // samples that hypotheses are made of: 1770 pairs at most

// Least squares over the chosen samples, each weighed as it is: a tall body tells more.
std::optional<LeanField> solve(const std::vector<LeanSample>& samples, const std::vector<std::size_t>& chosen, BoardPoint about) {
  cv::Matx33d normal = cv::Matx33d::zeros();
  cv::Vec3d right(0, 0, 0);
  for (const std::size_t i : chosen) {
    const LeanSample& s = samples[i];
    const cv::Vec3d x(s.height_mm, 0, s.height_mm * (s.at.x_mm - about.x_mm)), y(0, s.height_mm, s.height_mm * (s.at.y_mm - about.y_mm));
    normal += x * x.t() + y * y.t();
    right += x * s.shift.x_mm + y * s.shift.y_mm;
  }
  // Bodies in one place do not tell b: held to none there by a thousandth of a millimetre's worth.
  normal(2, 2) += 1e-6;
  cv::Vec3d found;
  if (!cv::solve(normal, right, found, cv::DECOMP_CHOLESKY)) return std::nullopt;
  return LeanField{found[0], found[1], found[2], about, 0};
}

double off_mm(const LeanField& field, const LeanSample& sample) {
  const Offset expected = field.at(sample.at, sample.height_mm);
  return std::hypot(sample.shift.x_mm - expected.x_mm, sample.shift.y_mm - expected.y_mm);
}

std::vector<std::size_t> agreeing(const LeanField& field, const std::vector<LeanSample>& samples) {
  std::vector<std::size_t> agree;
  for (std::size_t i = 0; i < samples.size(); ++i)
    if (off_mm(field, samples[i]) < agrees_within_mm) agree.push_back(i);
  return agree;
}

}  // namespace

std::optional<LeanField> fit_lean(const std::vector<LeanSample>& samples) {
  if (samples.size() < least_lean_samples) return std::nullopt;
  BoardPoint about{0, 0};
  for (const LeanSample& sample : samples) {
    about.x_mm += sample.at.x_mm / static_cast<double>(samples.size());
    about.y_mm += sample.at.y_mm / static_cast<double>(samples.size());
  }
  // The tallest tell most; each pair of them is a hypothesis, and the one that most samples agree with wins.
  std::vector<std::size_t> order(samples.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return samples[a].height_mm > samples[b].height_mm; });
  order.resize(std::min(order.size(), most_tried));
  std::vector<std::size_t> best;
  for (std::size_t i = 0; i < order.size(); ++i)
    for (std::size_t j = i + 1; j < order.size(); ++j) {
      const auto field = solve(samples, {order[i], order[j]}, about);
      if (!field) continue;
      std::vector<std::size_t> agree = agreeing(*field, samples);
      if (agree.size() > best.size()) best = std::move(agree);
    }
  if (best.size() < least_lean_samples || 2 * best.size() < samples.size()) return std::nullopt;
  auto field = solve(samples, best, about);
  if (!field) return std::nullopt;
  best = agreeing(*field, samples);
  if (best.size() < least_lean_samples) return std::nullopt;
  field = solve(samples, best, about);
  if (!field) return std::nullopt;
  std::vector<double> off;
  for (const std::size_t i : best) off.push_back(off_mm(*field, samples[i]));
  std::nth_element(off.begin(), off.begin() + static_cast<std::ptrdiff_t>(off.size() / 2), off.end());
  field->spread_mm = 1.4826 * off[off.size() / 2];
  return field;
}

}  // namespace boardlore
