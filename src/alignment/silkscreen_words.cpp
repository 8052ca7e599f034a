#include "alignment/silkscreen_words.h"

#include <algorithm>
#include <array>
#include <numeric>
#include <opencv2/imgproc.hpp>

namespace boardlore {
namespace {

// Sizes of printed characters. Common practice, no source: legends are 0.8 to 2 mm tall; half and twice that are taken.
constexpr double least_height_mm = 0.55, most_height_mm = 3.0;
constexpr double widest_stroke_mm = 0.5;
constexpr double least_contrast = 16;     // grey levels above the ground
constexpr std::size_t most_pieces = 7;    // a longer row is pins or a sentence

struct Piece {
  cv::Rect box;
};

int whole(double px, int least) { return std::max(least, cvRound(px)); }

std::vector<Piece> pieces_of(const cv::Mat& print, double px_per_mm) {
  const int stroke = whole(widest_stroke_mm * px_per_mm, 3) | 1;
  cv::Mat lifted, mean, above;
  cv::morphologyEx(print, lifted, cv::MORPH_TOPHAT, cv::getStructuringElement(cv::MORPH_ELLIPSE, {stroke, stroke}));
  const int around = whole(2.0 * px_per_mm, 5) | 1;
  cv::blur(print, mean, {around, around});
  // Half of what the strongest stroke nearby has: faint print beside strong print stays whole, its blur does not join.
  cv::Mat strongest;
  const int near = whole(0.8 * px_per_mm, 3) | 1;
  cv::dilate(lifted, strongest, cv::getStructuringElement(cv::MORPH_RECT, {near, near}));
  above = (lifted > least_contrast) & (lifted > 0.45 * strongest) & (print > mean + 6);
  cv::Mat labels, stats, centres;
  const int count = cv::connectedComponentsWithStats(above, labels, stats, centres, 8);
  std::vector<Piece> pieces;
  const double least = least_height_mm * px_per_mm, most = most_height_mm * px_per_mm;
  for (int i = 1; i < count; ++i) {
    const cv::Rect box(stats.at<int>(i, cv::CC_STAT_LEFT), stats.at<int>(i, cv::CC_STAT_TOP), stats.at<int>(i, cv::CC_STAT_WIDTH),
                       stats.at<int>(i, cv::CC_STAT_HEIGHT));
    if (std::max(box.width, box.height) < least || std::min(box.width, box.height) > most || std::max(box.width, box.height) > 4 * most) continue;
    pieces.push_back({box});
  }
  return pieces;
}

// Rows: along x. For columns the boxes are turned before.
class Rows {
 public:
  Rows(std::vector<cv::Rect> boxes, double px_per_mm) : boxes_(std::move(boxes)), leader_(boxes_.size()) {
    std::iota(leader_.begin(), leader_.end(), std::size_t{0});
    least_ = least_height_mm * px_per_mm, most_ = most_height_mm * px_per_mm;
  }

  std::vector<cv::Rect> joined() {
    std::vector<std::size_t> order;
    for (std::size_t i = 0; i < boxes_.size(); ++i)
      if (boxes_[i].height >= least_ && boxes_[i].height <= most_) order.push_back(i);
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return boxes_[a].x < boxes_[b].x; });
    for (std::size_t n = 0; n < order.size(); ++n)
      for (std::size_t m = n + 1; m < order.size(); ++m) {
        const cv::Rect &a = boxes_[order[n]], &b = boxes_[order[m]];
        if (b.x - (a.x + a.width) > 0.75 * std::max(a.height, b.height) || b.x - a.x > 4 * most_) {
          if (b.x - a.x > 5 * most_) break;
          continue;
        }
        if (alike(a, b)) leader_[find(order[m])] = find(order[n]);
      }
    struct Group {
      cv::Rect box;
      std::size_t pieces = 0;
    };
    std::vector<Group> groups(boxes_.size());
    for (const std::size_t i : order) {
      Group& group = groups[find(i)];
      group.box = group.pieces == 0 ? boxes_[i] : group.box | boxes_[i];
      ++group.pieces;
    }
    std::vector<cv::Rect> words;
    for (const Group& group : groups) {
      if (group.pieces == 0 || group.pieces > most_pieces) continue;
      const double shape = static_cast<double>(group.box.width) / group.box.height;
      if (shape >= 0.9 && shape <= 6 && group.box.height <= 1.3 * most_) words.push_back(group.box);
    }
    return words;
  }

 private:
  static bool alike(const cv::Rect& a, const cv::Rect& b) {
    const int smaller = std::min(a.height, b.height), larger = std::max(a.height, b.height);
    const int shared = std::min(a.y + a.height, b.y + b.height) - std::max(a.y, b.y);
    return larger <= 1.45 * smaller && shared >= 0.7 * smaller && (b.x - (a.x + a.width)) <= 0.75 * larger;
  }
  std::size_t find(std::size_t i) {
    while (leader_[i] != i) i = leader_[i] = leader_[leader_[i]];
    return i;
  }
  std::vector<cv::Rect> boxes_;
  std::vector<std::size_t> leader_;
  double least_ = 0, most_ = 0;
};

cv::Rect turned(const cv::Rect& box) { return {box.y, box.x, box.height, box.width}; }

}  // namespace

cv::Mat print_of(const cv::Mat& rgb, const cv::Mat& valid) {
  std::array<cv::Mat, 3> channels;
  cv::split(rgb, channels.data());
  cv::Mat lowest, highest;
  cv::min(channels[0], channels[1], lowest);
  cv::min(lowest, channels[2], lowest);
  cv::max(channels[0], channels[1], highest);
  cv::max(highest, channels[2], highest);
  // A white mask has dark print.
  if (cv::mean(lowest, valid)[0] < 140) return lowest;
  cv::Mat dark = 255 - highest;
  return dark;
}

std::vector<WordBox> word_boxes(const cv::Mat& print, double px_per_mm) {
  std::vector<cv::Rect> rows, columns;
  for (const Piece& piece : pieces_of(print, px_per_mm)) rows.push_back(piece.box), columns.push_back(turned(piece.box));
  std::vector<WordBox> words;
  for (const cv::Rect& box : Rows(rows, px_per_mm).joined()) words.push_back({box, false});
  for (const cv::Rect& box : Rows(columns, px_per_mm).joined()) words.push_back({turned(box), true});
  return words;
}

cv::Mat word_picture(const cv::Mat& print, const WordBox& word, int quarter_turns, int height_px) {
  const int tall = word.is_column ? word.box.width : word.box.height;
  const int margin = std::max(2, tall * 3 / 10);
  const cv::Rect inside = cv::Rect(word.box.x - margin, word.box.y - margin, word.box.width + 2 * margin, word.box.height + 2 * margin) &
                          cv::Rect(0, 0, print.cols, print.rows);
  cv::Mat cut = print(inside).clone();
  if (quarter_turns == 1) cv::rotate(cut, cut, cv::ROTATE_90_CLOCKWISE);
  if (quarter_turns == 2) cv::rotate(cut, cut, cv::ROTATE_180);
  if (quarter_turns == 3) cv::rotate(cut, cut, cv::ROTATE_90_COUNTERCLOCKWISE);
  const double factor = static_cast<double>(height_px) / tall;
  cv::resize(cut, cut, {}, factor, factor, factor < 1 ? cv::INTER_AREA : cv::INTER_CUBIC);
  // From the ground's level to the print's own.
  std::vector<uchar> levels(cut.begin<uchar>(), cut.end<uchar>());
  std::sort(levels.begin(), levels.end());
  const double low = levels[levels.size() * 30 / 100], high = std::max(low + 1, static_cast<double>(levels[levels.size() * 97 / 100]));
  cut.convertTo(cut, CV_8U, -255 / (high - low), 255 + 255 * low / (high - low));
  const int border = height_px / 3;
  cv::copyMakeBorder(cut, cut, border, border, border, border, cv::BORDER_CONSTANT, cv::Scalar(255));
  return cut;
}

}  // namespace boardlore
