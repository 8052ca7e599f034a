#include "alignment/compare.h"

#include <algorithm>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "alignment/lean_field.h"
#include "alignment/part_patch.h"
#include "alignment/surroundings.h"

namespace boardlore {
namespace {

// Pixels across the body's short side below which nothing is said.
constexpr double least_body_px = 7;

struct Pictures {
  BoardPicture before_grey, after_grey, before_rgb, after_rgb;
};

// Both photos say the same of a part's surroundings when they are shifted by this; {0, 0} where they say nothing.
Offset local_offset(const Pictures& pictures, const PartBox& box) {
  const double ppm = pictures.before_grey.px_per_mm, ring_mm = 2.5, reach_mm = 0.4;
  double seen = 0;
  PartBox upright = box;  // shifts are wanted along the board's own axes
  const double turn = box.rotation_deg * std::numbers::pi / 180, c = std::fabs(std::cos(turn)), s = std::fabs(std::sin(turn));
  upright.half_x_mm = c * box.half_x_mm + s * box.half_y_mm;
  upright.half_y_mm = s * box.half_x_mm + c * box.half_y_mm;
  upright.rotation_deg = 0;
  const cv::Mat fixed = pattern_of(part_patch(pictures.before_grey, upright, ring_mm, {}, seen), ppm);
  if (seen < 0.8) return {};
  const cv::Mat wide = pattern_of(part_patch(pictures.after_grey, upright, ring_mm + reach_mm, {}, seen), ppm);
  if (seen < 0.8) return {};
  cv::Mat mask(fixed.size(), CV_32F, cv::Scalar(1));
  const int ring = cvRound((ring_mm - 0.4) * ppm);
  if (mask.cols > 2 * ring && mask.rows > 2 * ring)
    mask(cv::Rect(ring, ring, mask.cols - 2 * ring, mask.rows - 2 * ring)) = 0.0F;
  cv::Mat scores;
  cv::matchTemplate(wide, fixed, scores, cv::TM_CCORR_NORMED, mask);
  double best = 0;
  cv::Point at;
  cv::patchNaNs(scores, 0);
  cv::minMaxLoc(scores, nullptr, &best, nullptr, &at);
  if (best < 0.3 || best > 1.01) return {};
  return {(at.x - (scores.cols - 1) / 2.0) / ppm, -(at.y - (scores.rows - 1) / 2.0) / ppm};
}

cv::Mat turned_by(const cv::Mat& patch, int degrees) {  // counter-clockwise as the patch is seen
  cv::Mat turned;
  if (degrees == 90) cv::rotate(patch, turned, cv::ROTATE_90_COUNTERCLOCKWISE);
  else if (degrees == 180) cv::rotate(patch, turned, cv::ROTATE_180);
  else if (degrees == 270) cv::rotate(patch, turned, cv::ROTATE_90_CLOCKWISE);
  else turned = patch;
  return turned;
}

double contrast_of(const cv::Mat& pattern) {
  cv::Scalar mean, deviation;
  cv::meanStdDev(pattern, mean, deviation);
  return deviation[0];
}

double glare_share(const cv::Mat& grey) { return static_cast<double>(cv::countNonZero(grey > 250)) / static_cast<double>(grey.total()); }

// Mean colour of the body's middle, and the board's around it (median, so that pads and print do not count).
struct Colours {
  cv::Vec3d body, ground;
};
Colours colours_of(const BoardPicture& rgb, const PartBox& box, Offset offset) {
  double seen = 0;
  PartBox middle = box;
  // Of two-terminal parts the ends are metal either way: the middle of the longer side tells.
  (box.half_x_mm > box.half_y_mm ? middle.half_x_mm : middle.half_y_mm) *= 0.5;
  middle.half_x_mm *= 0.8, middle.half_y_mm *= 0.8;
  Colours colours;
  const cv::Scalar body = cv::mean(part_patch(rgb, middle, 0, offset, seen));
  colours.body = {body[0], body[1], body[2]};
  const cv::Mat around = part_patch(rgb, box, 2.0, offset, seen);
  const int edge = cvRound(1.2 * rgb.px_per_mm);
  for (int c = 0; c < 3; ++c) {
    std::vector<uchar> values;
    for (int y = 0; y < around.rows; ++y)
      for (int x = 0; x < around.cols; ++x)
        if (y < edge || x < edge || y >= around.rows - edge || x >= around.cols - edge)
          values.push_back(around.at<cv::Vec3b>(y, x)[c]);
    if (values.empty()) continue;
    const auto half = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), half, values.end());
    colours.ground[c] = *half;
  }
  return colours;
}

// The middle of a body's top, where its marking is. Towards the edges a chip shows its bevel and, seen from elsewhere,
// one of its sides: light and lean change those, and a side that comes into view looks like a chip turned.
cv::Mat marking_of(const cv::Mat& pattern) {
  const int x = cvRound(0.14 * pattern.cols), y = cvRound(0.14 * pattern.rows);
  return pattern(cv::Rect(x, y, pattern.cols - 2 * x, pattern.rows - 2 * y));
}
// Pixels across the marking below which it is taken for none.
constexpr int least_marking_px = 9;

bool has_a_way_round(const Mark& mark) {
  if (!mark.polarity.empty() || mark.pin1) return true;
  return mark.package && mark.package->pins > 2;
}

double rising(double value, double middle, double width) { return 1 / (1 + std::exp(-(value - middle) / width)); }

// A unit must not be switched on so: looked at before what has only moved or looks different.
bool is_grave(PartVerdict verdict) { return verdict == PartVerdict::turned || verdict == PartVerdict::missing; }

BoardRect place_of(const PartBox& box) {
  const double reach = box.half_x_mm + box.half_y_mm + 1.5;
  return {box.centre.x_mm - reach, box.centre.y_mm - reach, 2 * reach, 2 * reach};
}

constexpr std::array<std::string_view, 6> names{"same", "changed", "moved", "missing", "turned", "cannot-tell"};

// What both photos show of a part, before anything is judged.
struct PartLooks {
  const Mark* mark = nullptr;
  PartBox box;
  std::string cannot_tell;      // why nothing can be said; empty: the rest is there
  Offset offset;                // of the board around it, between the photos
  cv::Mat before, after;        // grey; `after` with a margin
  cv::Mat pattern, wide;        // of the body (or its marking) before, and of where it may be after
  bool by_marking = false;
  Likeness anywhere;
  // Bodies lean by no more than this where nothing better is known: by half their height, seen from up to 25 degrees more to
  // one side.
  double lean_mm() const { return 0.45 * box.height_mm; }
};

constexpr double grain = 2.0;  // grey levels: noise of a bench photo after softening

PartLooks looks_of(const Pictures& pictures, const Mark& mark, const PartBox& box) {
  PartLooks looks;
  looks.mark = &mark;
  looks.box = box;
  const double ppm = pictures.before_grey.px_per_mm, short_mm = box.short_side_mm();
  if (short_mm * ppm < least_body_px) return looks.cannot_tell = "too few pixels", looks;
  looks.offset = local_offset(pictures, box);
  // Never so far that a like neighbour could be taken for it.
  const double margin_mm = std::min({0.7 + looks.lean_mm(), 0.8 * short_mm, 4.0});
  double seen_before = 0, seen_after = 0;
  looks.before = part_patch(pictures.before_grey, box, 0, {}, seen_before);
  looks.after = part_patch(pictures.after_grey, box, margin_mm, looks.offset, seen_after);
  if (seen_before < 0.97 || seen_after < 0.9) return looks.cannot_tell = "not all of it is in both photos", looks;
  const double slow_px = std::max(3.0, 0.5 * short_mm * ppm);
  const cv::Mat whole = pattern_of(looks.before, slow_px);
  looks.wide = pattern_of(looks.after, slow_px);
  // Chips by their marking; of parts with two ends the ends themselves tell (bars, bands, metal).
  const cv::Mat marking = marking_of(whole);
  looks.by_marking = mark.package && mark.package->pins > 2 && std::min(marking.cols, marking.rows) >= least_marking_px && contrast_of(marking) > grain;
  looks.pattern = looks.by_marking ? marking : whole;
  looks.anywhere = likeness_of(looks.pattern, looks.wide, ppm);
  return looks;
}

Offset turned_by_deg(Offset offset, double degrees) {
  const double turn = degrees * std::numbers::pi / 180, c = std::cos(turn), s = std::sin(turn);
  return {c * offset.x_mm - s * offset.y_mm, s * offset.x_mm + c * offset.y_mm};
}

// Bodies too low to lean tell nothing of it, and one that looks like its surroundings is found anywhere.
constexpr double least_leaning_mm = 0.8, least_sure = 0.7;

std::optional<LeanField> lean_of(const std::vector<PartLooks>& all) {
  std::vector<LeanSample> samples;
  for (const PartLooks& looks : all)
    if (looks.cannot_tell.empty() && looks.box.height_mm >= least_leaning_mm && looks.anywhere.score > least_sure)
      samples.push_back({looks.box.centre, looks.box.height_mm, turned_by_deg({looks.anywhere.shift_x_mm, looks.anywhere.shift_y_mm}, looks.box.rotation_deg)});
  return fit_lean(samples);
}

// Where lean alone may have taken a body, in the axes of its patch. Where the lean of this pair is known, along that; a height
// that nobody measured may be anything up to the most its package allows.
Reach reach_of(const PartLooks& looks, const std::optional<LeanField>& lean) {
  if (!lean) return {{}, {}, 0.3 + looks.lean_mm()};
  const Offset most = turned_by_deg(lean->at(looks.box.centre, looks.box.height_mm), -looks.box.rotation_deg);
  const double from = looks.mark->height_mm ? 0.6 : 0.0, to = looks.mark->height_mm ? 1.4 : 1.2;
  return {{from * most.x_mm, from * most.y_mm}, {to * most.x_mm, to * most.y_mm}, 0.3 + 2 * lean->spread_mm};
}

// Its picture, where it is found now, was there before too: a like neighbour, or a row of like pins. Proves no move. Nearer than its
// own width it would be met itself.
bool stood_there_before(const Pictures& pictures, const PartLooks& looks) {
  const double ppm = pictures.before_grey.px_per_mm;
  const double margin_mm = (looks.after.cols - looks.before.cols) / 2.0 / ppm;
  if (std::hypot(looks.anywhere.shift_x_mm, looks.anywhere.shift_y_mm) < 0.8 * looks.box.short_side_mm()) return false;
  double seen = 0;
  const cv::Mat before = pattern_of(part_patch(pictures.before_grey, looks.box, margin_mm, {}, seen), std::max(3.0, 0.5 * looks.box.short_side_mm() * ppm));
  const Offset there{looks.anywhere.shift_x_mm, looks.anywhere.shift_y_mm};
  return likeness_of(looks.pattern, before, ppm, {there, there, 0.4}).score > looks.anywhere.score - 0.15;
}

PartComparison compare_part(const Pictures& pictures, const PartLooks& looks, const std::optional<LeanField>& lean) {
  const Mark& mark = *looks.mark;
  const PartBox& box = looks.box;
  PartComparison part;
  part.mark = mark.id;
  part.refdes = mark.refdes;
  part.place = place_of(box);
  const auto say = [&](PartVerdict verdict, double confidence, std::string words) {
    part.verdict = verdict;
    part.confidence = std::clamp(confidence, 0.0, 1.0);
    part.words = std::move(words);
    return part;
  };
  if (!looks.cannot_tell.empty()) return say(PartVerdict::cannot_tell, 1, looks.cannot_tell);
  const double ppm = pictures.before_grey.px_per_mm;
  const Offset offset = looks.offset;
  const cv::Mat &before = looks.before, &after = looks.after, &pattern = looks.pattern, &wide = looks.wide;
  const bool by_marking = looks.by_marking;
  const double lean_mm = looks.lean_mm();
  const Likeness& anywhere = looks.anywhere;
  // What lean explains proves no move: within that, it is where it was.
  const Reach reach = reach_of(looks, lean);
  const Likeness as_it_was = likeness_of(pattern, wide, ppm, reach);
  part.shift_mm = reach.distance_mm(as_it_was.shift_x_mm, as_it_was.shift_y_mm);

  // A picture cut out about a body's foot and turned has its top on the other side of it: how far, only the lean in the earlier
  // photo alone would say. Both ways round are given the same freedom.
  const Reach disc{{}, {}, 0.3 + lean_mm};
  const Likeness unturned = likeness_of(pattern, wide, ppm, disc);
  // Turned: better than as it was, by a good part of what its own picture changes when turned.
  const double contrast = contrast_of(pattern);
  double best_turned = -1, own_likeness = 1, clearness = 0;
  int best_turn = 0;
  // A resistor that went back the other way round is no fault.
  for (const int turn : {90, 180, 270}) {
    if (!has_a_way_round(mark)) break;
    if (turn != 180 && !box.nearly_square()) continue;
    const cv::Mat turned = turned_by(pattern, turn);
    const Likeness likeness = likeness_of(turned, wide, ppm, disc);
    if (likeness.score > best_turned) {
      best_turned = likeness.score;
      best_turn = turn;
      cv::Mat grown;
      const int grow = cvRound(0.1 * ppm) + 1;
      cv::copyMakeBorder(pattern, grown, grow, grow, grow, grow, cv::BORDER_REPLICATE);
      own_likeness = likeness_of(turned, grown, ppm).score;
    }
  }
  const double apart = std::max(1 - own_likeness, 0.02);
  clearness = (unturned.score - best_turned) / apart;
  const bool chip = mark.package && mark.package->pins > 2;
  const bool can_show_turn = apart > (chip ? 0.25 : 0.12) && contrast > grain && (by_marking || !chip);
  if (can_show_turn && clearness < -0.25 && best_turned > 0.5 && best_turned - unturned.score > 0.1) {
    part.turn_deg = best_turn;
    return say(PartVerdict::turned, rising(-clearness, 0.25, 0.1) * rising(best_turned, 0.5, 0.08),
               "its picture fits only turned by " + std::to_string(best_turn) + " degrees");
  }

  const Colours was = colours_of(pictures.before_rgb, box, {});
  // Where its top is expected now, in the middle of what lean may have done to it.
  const Offset expected = turned_by_deg({(reach.from.x_mm + reach.to.x_mm) / 2, (reach.from.y_mm + reach.to.y_mm) / 2}, box.rotation_deg);
  const Colours now = colours_of(pictures.after_rgb, box, offset);
  const Colours leaned = colours_of(pictures.after_rgb, box, {offset.x_mm + expected.x_mm, offset.y_mm + expected.y_mm});
  // Light evened out by the board around the part.
  const auto evened = [&](const Colours& colours) {
    cv::Vec3d body;
    for (int c = 0; c < 3; ++c) body[c] = colours.body[c] * (was.ground[c] + 4) / (colours.ground[c] + 4);
    return body;
  };
  const double stood_out = cv::norm(was.body - was.ground);
  const double stands_out = std::max(cv::norm(evened(now) - was.ground), cv::norm(evened(leaned) - was.ground));
  const double colour_change = std::min(cv::norm(evened(now) - was.body), cv::norm(evened(leaned) - was.body));

  // Moved: its picture is found elsewhere, clearly better than here, and its colour has gone there with it.
  // A tall body may be anywhere in a wide window, where a poor likeness is met by chance.
  const double found_from = lean_mm > 1.5 ? 0.7 : 0.6;
  const double far_mm = reach.distance_mm(anywhere.shift_x_mm, anywhere.shift_y_mm);
  if (far_mm > reach.within_mm && anywhere.score > found_from && anywhere.score - as_it_was.score > 0.15 && stood_out > 15) {
    const Offset shift = turned_by_deg({anywhere.shift_x_mm, anywhere.shift_y_mm}, box.rotation_deg);
    const Offset there{offset.x_mm + shift.x_mm, offset.y_mm + shift.y_mm};
    const Colours moved = colours_of(pictures.after_rgb, box, there);
    if (cv::norm(evened(moved) - was.body) < 0.4 * stood_out && !stood_there_before(pictures, looks)) {
      part.shift_mm = far_mm;
      return say(PartVerdict::moved, rising(anywhere.score, 0.55, 0.07) * rising(far_mm, reach.within_mm, 0.1), "its picture lies elsewhere than before");
    }
  }
  // A pattern of a few pixels is found by chance on print and tracks too: there the colour decides.
  // A tall body leans away from its place: some of the board is seen there although it stands.
  const double gone_below = lean_mm > 1.5 ? 0.2 : 0.45;
  if (as_it_was.score < 0.75 && stood_out > 22 && stands_out < gone_below * stood_out && colour_change > 0.6 * stood_out)
    return say(PartVerdict::missing, rising(0.75 - as_it_was.score, 0, 0.1) * rising(stood_out / std::max(stands_out, 1.0), 2.2, 0.4),
               "the board's own colour is seen where its body was");

  const double glare = std::max(glare_share(before), glare_share(after));
  if (as_it_was.score > 0.55) {
    const double sure = rising(as_it_was.score, 0.5, 0.07);
    if (has_a_way_round(mark) && (!can_show_turn || clearness < 0.25))
      return say(PartVerdict::cannot_tell, sure, "it is there, but looks the same turned: check pin 1 by eye");
    return say(PartVerdict::same, has_a_way_round(mark) ? sure * rising(clearness, 0.2, 0.1) : sure, "its picture is the same");
  }
  if (glare > 0.12) return say(PartVerdict::cannot_tell, rising(glare, 0.1, 0.03), "glare hides it");
  if (contrast < grain || as_it_was.score > 0.3) {
    if (colour_change < 0.3 * stood_out && !has_a_way_round(mark) && as_it_was.score > 0.3)
      return say(PartVerdict::same, 0.6, "its colour is the same and its picture much the same");
    return say(PartVerdict::cannot_tell, 0.7, contrast < grain ? "too little on it to compare" : "the two pictures are neither alike nor clearly different");
  }
  if (colour_change > std::max(25.0, 0.5 * stood_out))
    return say(PartVerdict::changed, rising(colour_change, 25, 6) * rising(0.3 - as_it_was.score, 0, 0.08), "its surface looks different");
  return say(PartVerdict::cannot_tell, 0.6, "seen too differently in the two photos");
}

}  // namespace

std::string_view verdict_name(PartVerdict verdict) { return names[static_cast<std::size_t>(verdict)]; }

std::optional<PartVerdict> verdict_named(std::string_view name) {
  for (std::size_t i = 0; i < names.size(); ++i)
    if (names[i] == name) return static_cast<PartVerdict>(i);
  return std::nullopt;
}

std::optional<BoardRect> compared_place(const Mark& mark) {
  const auto box = part_box(mark);
  return box ? std::optional(place_of(*box)) : std::nullopt;
}

bool is_finding(PartVerdict verdict) { return verdict != PartVerdict::same && verdict != PartVerdict::cannot_tell; }

Result<Comparison> compare_photos(const RegisteredPicture& before, const RegisteredPicture& after, const Layer& layer,
                                  Side side, const std::stop_token& stop, const ProgressFn& progress) {
  const Board& board = layer.board;
  if (!board.width_mm || !board.height_mm || !(*board.width_mm > 0) || !(*board.height_mm > 0))
    return Problem{"", "/board/width_mm", "a board with its size in mm", "none", Outcome::finding};
  if (before.picture == nullptr || after.picture == nullptr || before.picture->empty() || after.picture->empty())
    return Problem{"", "", "two photos with pixels", "an empty one"};
  const BoardRect whole{0, 0, *board.width_mm, *board.height_mm};
  const double natural = std::min(natural_px_per_mm(*before.picture, before.registration, whole),
                                  natural_px_per_mm(*after.picture, after.registration, whole));
  if (natural <= 0) return Problem{"", "", "two photos that show the board", "one that shows none of it", Outcome::finding};
  Comparison comparison;
  comparison.px_per_mm = std::min({natural, 40.0, std::sqrt(24e6 / (whole.width_mm * whole.height_mm))});
  try {
    const auto draw = [&](const RegisteredPicture& photo, BoardPicture& rgb, BoardPicture& grey) {
      rgb = draw_on_board(colour_of(*photo.picture), board_map_of(photo.registration), whole, comparison.px_per_mm);
      grey = rgb;
      cv::cvtColor(rgb.picture, grey.picture, cv::COLOR_RGB2GRAY);
    };
    Pictures pictures;
    draw(before, pictures.before_rgb, pictures.before_grey);
    if (progress) progress(0.2);
    draw(after, pictures.after_rgb, pictures.after_grey);
    if (progress) progress(0.4);
    std::vector<PartBox> boxes;
    std::vector<PartLooks> looks;
    bool stopped = false;
    const auto parts = static_cast<double>(std::max<std::size_t>(layer.marks.size(), 1));
    layer.marks.each([&](const MarkPtr& mark) {
      stopped = stopped || stop.stop_requested();
      if (stopped || mark->kind != MarkKind::part || mark->side != side) return;
      const auto box = part_box(*mark);
      if (!box) return;
      boxes.push_back(*box);
      looks.push_back(looks_of(pictures, *mark, *box));
      if (progress) progress(0.4 + 0.25 * static_cast<double>(looks.size()) / parts);
    });
    const std::optional<LeanField> lean = lean_of(looks);
    for (const PartLooks& seen : looks) {
      stopped = stopped || stop.stop_requested();
      if (stopped) break;
      comparison.parts.push_back(compare_part(pictures, seen, lean));
      if (progress) progress(0.65 + 0.15 * static_cast<double>(comparison.parts.size()) / parts);
    }
    if (stopped || stop.stop_requested()) return Problem{"", "", "a comparison", kStopped, Outcome::finding};
    comparison.surroundings = changes_outside(pictures.before_rgb, pictures.after_rgb, boxes, board.outline);
    if (progress) progress(1);
  } catch (const cv::Exception& error) {
    return Problem{"", "", "photos that can be compared", error.err, Outcome::system_failed};
  }
  std::stable_sort(comparison.parts.begin(), comparison.parts.end(), [](const PartComparison& a, const PartComparison& b) {
    const bool finds_a = is_finding(a.verdict), finds_b = is_finding(b.verdict);
    if (finds_a != finds_b) return finds_a;
    const bool grave_a = is_grave(a.verdict), grave_b = is_grave(b.verdict);
    if (grave_a != grave_b) return grave_a;
    if (finds_a && a.confidence != b.confidence) return a.confidence > b.confidence;
    return a.refdes < b.refdes;
  });
  return comparison;
}

}  // namespace boardlore
