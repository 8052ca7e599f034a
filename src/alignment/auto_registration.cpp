#include "alignment/auto_registration.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "alignment/board_picture.h"
#include "alignment/coarse_place.h"
#include "alignment/feature_cache.h"
#include "alignment/grey_picture.h"
#include "alignment/patch_search.h"
#include "alignment/place_check.h"

namespace boardlore {
namespace {

// The two sizes photos are searched at: most are found on the small one; a close-up of a little of the board,
// or a poor photo, wants the larger.
struct Tier {
  int longest_side_px, most_features;
};
constexpr Tier tiers[] = {{1200, 4000}, {2200, 8000}};

struct Candidate {
  std::size_t reference = 0;  // index into the request
  CoarsePlace place;
};

struct Settled {
  AutoReport report;
  double rival_share = 0, margin = 0, agreeing_share = 0;
};

double rising(double value, double middle, double width) { return 1 / (1 + std::exp(-(value - middle) / width)); }

// What `search` found, brought onto the board. The reference's own map may end before its picture does.
std::vector<Correspondence> on_board(const PatchSearch& search, const BoardMap& reference) {
  std::vector<Correspondence> points;
  for (const PatchPair& pair : search.found)
    if (const auto board = reference.board(pair.reference)) points.push_back({pair.photo, *board});
  return points;
}

struct Maps {
  PlaceMap photo_from_reference, reference_from_photo;
};

Maps through_board(const BoardMap& photo, const BoardMap& reference) {
  return {[photo, reference](PhotoPoint p) -> std::optional<PhotoPoint> {
            const auto board = reference.board(p);
            return board ? photo.photo(*board) : std::nullopt;
          },
          [photo, reference](PhotoPoint p) -> std::optional<PhotoPoint> {
            const auto board = photo.board(p);
            return board ? reference.photo(*board) : std::nullopt;
          }};
}

double coverage_of(const std::vector<Correspondence>& points, const std::vector<char>& fits, const AutoRequest& request,
                   const BoardMap& reference, const cv::Mat& reference_picture) {
  double left = 0, low = 0, width = request.board_width_mm.value_or(0), height = request.board_height_mm.value_or(0);
  if (width <= 0 || height <= 0) {  // no size yet: what the reference shows stands for the board
    double right = -1e18, high = -1e18;
    left = low = 1e18;
    for (int i = 0; i <= 1; ++i)
      for (int j = 0; j <= 1; ++j)
        if (const auto at = reference.board({double(i) * reference_picture.cols, double(j) * reference_picture.rows})) {
          left = std::min(left, at->x_mm), right = std::max(right, at->x_mm);
          low = std::min(low, at->y_mm), high = std::max(high, at->y_mm);
        }
    width = right - left;
    height = high - low;
    if (!(width > 0) || !(height > 0)) return 0;
  }
  constexpr int cells = 12;
  std::array<bool, cells * cells> covered{};
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (!fits[i]) continue;
    const int column = static_cast<int>(std::floor((points[i].board.x_mm - left) / width * cells));
    const int row = static_cast<int>(std::floor((points[i].board.y_mm - low) / height * cells));
    if (column >= 0 && row >= 0 && column < cells && row < cells)
      covered[static_cast<std::size_t>(row * cells + column)] = true;
  }
  return static_cast<double>(std::count(covered.begin(), covered.end(), true)) / (cells * cells);
}

// A dozen of the found points, spread out, for a person to see and to correct by.
std::vector<Fiducial> spread_fiducials(const std::vector<Correspondence>& points, const BoardMapFit& fit) {
  constexpr int columns = 4, rows = 3;
  double left = 1e18, right = -1e18, top = 1e18, bottom = -1e18;
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (!fit.fits[i]) continue;
    left = std::min(left, points[i].photo.x_px), right = std::max(right, points[i].photo.x_px);
    top = std::min(top, points[i].photo.y_px), bottom = std::max(bottom, points[i].photo.y_px);
  }
  std::vector<Fiducial> fiducials;
  for (int row = 0; row < rows; ++row)
    for (int column = 0; column < columns; ++column) {
      // Corners of the covered area are where a map is held best.
      const double x = left + (right - left) * column / (columns - 1), y = top + (bottom - top) * row / (rows - 1);
      double best = 1e18;
      std::size_t chosen = points.size();
      for (std::size_t i = 0; i < points.size(); ++i) {
        if (!fit.fits[i]) continue;
        const auto expected = fit.map.photo(points[i].board);
        if (!expected) continue;
        const double off = std::hypot((points[i].photo.x_px - x) / std::max(right - left, 1.0),
                                      (points[i].photo.y_px - y) / std::max(bottom - top, 1.0));
        const double score = off + 0.1 * distance_px(*expected, points[i].photo) / std::max(fit.rms_px, 1e-3);
        if (score < best) best = score, chosen = i;
      }
      if (chosen == points.size()) continue;
      const bool again = std::any_of(fiducials.begin(), fiducials.end(),
                                     [&](const Fiducial& f) { return f.photo == points[chosen].photo; });
      if (again) continue;
      fiducials.push_back({points[chosen].photo, points[chosen].board, "found " + std::to_string(fiducials.size() + 1), {}});
    }
  return fiducials;
}

// From the first guess to the map at full size, with all that is needed to judge it.
std::optional<Settled> settle(const cv::Mat& photo, const cv::Mat& reference_picture, const RegisteredPhoto& reference,
                              const CoarsePlace& place, const AutoRequest& request, const std::stop_token& stop) {
  const BoardMap reference_map = board_map_of(reference.registration);
  const auto photo_from_reference = place.reference_from_photo.inverse();
  if (!photo_from_reference) return std::nullopt;
  const auto reference_from_photo = place.reference_from_photo;
  Maps maps{[h = *photo_from_reference](PhotoPoint p) { return h(p); },
            [h = reference_from_photo](PhotoPoint p) { return h(p); }};
  std::optional<BoardMapFit> fit;
  PatchSearch search;
  std::vector<Correspondence> points;
  struct Pass {
    double detail;
    int reach_px, half_size_px, most;
    double consensus;  // in pixels of the search
  };
  // First at less detail, where a lens may have moved the corners by many pixels; then at full size.
  const double longest = std::max(reference_picture.cols, reference_picture.rows);
  for (const Pass& pass : {Pass{std::clamp(1100 / longest, 0.3, 1.0), 10, 11, 400, 3.0}, Pass{1.0, 5, 14, 800, 2.0}}) {
    if (stop.stop_requested()) return std::nullopt;
    search = search_patches(reference_picture, photo, maps.photo_from_reference, maps.reference_from_photo,
                            {pass.detail, pass.reach_px, pass.half_size_px, pass.most, 0.6}, stop);
    points = on_board(search, reference_map);
    if (points.empty()) return std::nullopt;
    // Photo pixels a pixel of the search, at a middle point.
    const auto at = maps.photo_from_reference(search.found[search.found.size() / 2].reference);
    PhotoPoint aside = search.found[search.found.size() / 2].reference;
    aside.x_px += search.reference_px;
    const auto to = maps.photo_from_reference(aside);
    if (!at || !to) return std::nullopt;
    const double photo_px = distance_px(*at, *to);
    const int width_px = photo.cols, height_px = photo.rows;
    fit = fit_board_map(points, {width_px, height_px, true, pass.consensus * photo_px, 0.1 * photo_px});
    if (!fit || fit->rms_px > 2 * photo_px) return std::nullopt;
    maps = through_board(fit->map, reference_map);
  }

  Settled settled;
  AutoReport& report = settled.report;
  report.side = reference.side;
  report.onto = reference.name;
  report.inliers = fit->fit_count;
  report.tried = std::max(search.tried, 1);
  report.coverage = coverage_of(points, fit->fits, request, reference_map, reference_picture);
  report.rms_mm = fit->rms_mm;
  report.leave_out_mm = fit->leave_out_mm;
  report.lens_k1 = fit->map.lens ? fit->map.lens->k1 : 0;
  settled.agreeing_share = static_cast<double>(report.inliers) / report.tried;
  settled.rival_share = static_cast<double>(place.rival) / std::max(place.agreeing, 1);
  settled.margin = check_place(reference_picture, photo, maps.photo_from_reference).margin();
  // Each factor is near 1 for what true pairs show and near 0 for what chance shows; one doubt is enough.
  report.confidence = rising(report.inliers, 22, 4) * rising(settled.agreeing_share, 0.07, 0.012) *
                      rising(place.agreeing, 10, 1.5) * rising(0.6 - settled.rival_share, 0, 0.06) *
                      rising(settled.margin, 0.12, 0.03);

  Registration& registration = report.registration;
  registration.model = MapModel::homography;
  registration.method = MapMethod::automatic;
  registration.board_from_photo = fit->map.board_from_photo;
  registration.lens = fit->map.lens;
  registration.fiducials = spread_fiducials(points, *fit);
  registration.mirrored = reference.side == Side::bottom;
  registration.rms_mm = fit->rms_mm;
  registration.leave_one_out_mm = fit->leave_out_mm;
  BoardPoint middle;
  for (const Fiducial& fiducial : registration.fiducials) {
    middle.x_mm += fiducial.board.x_mm / static_cast<double>(registration.fiducials.size());
    middle.y_mm += fiducial.board.y_mm / static_cast<double>(registration.fiducials.size());
  }
  registration.px_per_mm = photo_px_per_mm(fit->map, middle);
  registration.onto = reference.name;
  registration.confidence = report.confidence;
  return settled;
}

// How much finer detail there is than coarse: edges' strength after a softening and after a threefold one. A sharp
// photo of a board gives 2.7 to 3.8, one blurred by ten pixels of the search's size (standard deviation) 1.3 to
// 1.5; noise of ten grey levels is softened away in both and changes that by 0.1 at most.
double fineness_of(const cv::Mat& grey) {
  const Reduced small = reduce(grey, 1200.0 / std::max(grey.cols, grey.rows));
  const auto edge_strength = [&](double softening_px) {
    cv::Mat soft, gx, gy;
    cv::GaussianBlur(small.picture, soft, {}, softening_px);
    cv::Sobel(soft, gx, CV_32F, 1, 0);
    cv::Sobel(soft, gy, CV_32F, 0, 1);
    return std::sqrt((gx.dot(gx) + gy.dot(gy)) / static_cast<double>(gx.total()));
  };
  return edge_strength(3) / std::max(edge_strength(9), 1e-6);
}

class Finder {
 public:
  Finder(const AutoRequest& request, const std::stop_token& stop, const ProgressFn& progress)
      : request_(request), stop_(stop), progress_(progress), grey_(grey_of(*request.photo)) {}

  AutoOutcome run() {
    std::optional<Settled> weak;  // the best attempt that did not convince
    int most_agreeing = 0;
    for (const Tier& tier : tiers) {
      const FeatureSet photo = find_features(grey_, tier.longest_side_px, tier.most_features);
      features_ = std::max(features_, photo.features.size());
      tell(tier.longest_side_px == tiers[0].longest_side_px ? 0.15 : 0.7);
      std::vector<Candidate> candidates;
      for (std::size_t i = 0; i < request_.onto.size(); ++i) {
        if (stop_.stop_requested()) return stopped();
        const auto reference = features_of(request_.onto[i], tier);
        if (!reference) continue;
        if (const auto place = coarse_place(photo, *reference)) candidates.push_back({i, *place});
        if (tier.longest_side_px == tiers[0].longest_side_px)
          tell(0.15 + 0.35 * static_cast<double>(i + 1) / static_cast<double>(request_.onto.size()));
      }
      std::stable_sort(candidates.begin(), candidates.end(), [](const Candidate& a, const Candidate& b) {
        return a.place.agreeing > b.place.agreeing;
      });
      for (std::size_t i = 0; i < std::min<std::size_t>(candidates.size(), 3); ++i) {
        if (stop_.stop_requested()) return stopped();
        const RegisteredPhoto& onto = request_.onto[candidates[i].reference];
        most_agreeing = std::max(most_agreeing, candidates[i].place.agreeing);
        const Result<Raster> picture = onto.load();
        if (!picture) continue;
        const auto settled = settle(grey_, grey_of(*picture), onto, candidates[i].place, request_, stop_);
        if (stop_.stop_requested()) return stopped();
        if (!settled) continue;
        if (settled->report.confidence >= least_confidence) {
          tell(1);
          return judged(*settled);
        }
        if (!weak || settled->report.confidence > weak->report.confidence) weak = settled;
      }
    }
    if (unreadable_ == request_.onto.size())
      return AutoRefusal{RefusalReason::not_readable, "none of the reference photos could be read", 0, 0};
    return why_not(weak, most_agreeing);
  }

 private:
  void tell(double fraction) const {
    if (progress_) progress_(fraction);
  }

  static AutoOutcome stopped() { return AutoRefusal{RefusalReason::stopped, kStopped, 0, 0}; }

  std::optional<FeatureSet> features_of(const RegisteredPhoto& reference, const Tier& tier) {
    if (auto kept = cached_features(request_.feature_cache, reference.sha256, tier.longest_side_px)) return kept;
    const Result<Raster> picture = reference.load();
    if (!picture || picture->empty()) {
      ++unreadable_;
      return std::nullopt;
    }
    FeatureSet set = find_features(grey_of(*picture), tier.longest_side_px, tier.most_features);
    cache_features(request_.feature_cache, reference.sha256, tier.longest_side_px, set);
    return set;
  }

  AutoOutcome judged(const Settled& settled) const {
    const AutoReport& report = settled.report;
    if (request_.wanted_side && *request_.wanted_side != report.side)
      return AutoRefusal{RefusalReason::wrong_side,
                         std::string("the photo shows the ") + (report.side == Side::top ? "top" : "bottom") +
                             " of the board (found on " + report.onto + ")",
                         report.inliers, report.confidence};
    return report;
  }

  AutoOutcome why_not(const std::optional<Settled>& weak, int most_agreeing) {
    AutoRefusal refusal;
    refusal.inliers = weak ? weak->report.inliers : most_agreeing;
    refusal.confidence = weak ? weak->report.confidence : 0;
    const auto because = [&](RefusalReason reason, std::string words) {
      refusal.reason = reason;
      refusal.words = std::move(words);
      return refusal;
    };
    if (features_ < 60 || fineness_of(grey_) < 1.4)
      return because(RefusalReason::too_blurred,
                     "the photo is too blurred or has too little on it (" + std::to_string(features_) +
                         " points that could be found again); take it again, sharper or nearer");
    if (fits_mirrored())
      return because(RefusalReason::mirror_image, "the photo fits only as a mirror image; register the picture as taken");
    if (stop_.stop_requested()) return AutoRefusal{RefusalReason::stopped, kStopped, 0, 0};
    if (weak && (weak->rival_share > 0.5 || weak->margin < 0.12) && weak->report.inliers > 22)
      return because(RefusalReason::ambiguous,
                     "the photo fits in more than one place on the board; show more of the board, or pick points");
    if (weak && weak->report.inliers >= 6 && weak->agreeing_share > 0.07)
      return because(RefusalReason::too_little_seen,
                     "too little of the board could be found again (" + std::to_string(weak->report.inliers) +
                         " patches); show more of the board, or pick points");
    if (weak)
      return because(RefusalReason::not_sure, "a place was found, but only " + std::to_string(weak->report.inliers) +
                                                  " of " + std::to_string(weak->report.tried) +
                                                  " patches fit there; pick points to register it by hand");
    return because(RefusalReason::wrong_board,
                   "nothing of it is found again on the reference photos; another board or side, or pick points");
  }

  bool fits_mirrored() {
    cv::Mat flipped;
    cv::flip(grey_, flipped, 1);
    const FeatureSet photo = find_features(flipped, tiers[0].longest_side_px, tiers[0].most_features);
    for (const RegisteredPhoto& reference : request_.onto) {
      if (stop_.stop_requested()) return false;
      const auto set = features_of(reference, tiers[0]);
      if (!set) continue;
      const auto place = coarse_place(photo, *set);
      if (place && place->agreeing >= 25 && place->share > 0.1) return true;
    }
    return false;
  }

  const AutoRequest& request_;
  const std::stop_token& stop_;
  const ProgressFn& progress_;
  cv::Mat grey_;
  std::size_t features_ = 0, unreadable_ = 0;
};

}  // namespace

std::string_view refusal_name(RefusalReason reason) {
  switch (reason) {
    case RefusalReason::no_reference: return "no-reference";
    case RefusalReason::too_blurred: return "too-blurred";
    case RefusalReason::too_little_seen: return "too-little-seen";
    case RefusalReason::wrong_board: return "wrong-board";
    case RefusalReason::wrong_side: return "wrong-side";
    case RefusalReason::mirror_image: return "mirror-image";
    case RefusalReason::ambiguous: return "ambiguous";
    case RefusalReason::not_sure: return "not-sure";
    case RefusalReason::not_readable: return "not-readable";
    case RefusalReason::stopped: return "stopped";
  }
  return "not-sure";
}

AutoOutcome register_automatically(const AutoRequest& request, const std::stop_token& stop, const ProgressFn& progress) {
  if (request.onto.empty())
    return AutoRefusal{RefusalReason::no_reference, "the board has no registered photo yet; pick points on this one", 0, 0};
  if (request.photo == nullptr || request.photo->width_px < 64 || request.photo->height_px < 64)
    return AutoRefusal{RefusalReason::too_little_seen, "the photo is too small to be found (under 64 pixels a side)", 0, 0};
  try {
    return Finder(request, stop, progress).run();
  } catch (const cv::Exception& error) {
    return AutoRefusal{RefusalReason::not_sure, "the search gave up: " + error.err, 0, 0};
  }
}

}  // namespace boardlore
