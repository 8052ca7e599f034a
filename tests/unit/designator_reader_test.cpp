// Names on a drawn board, read and proposed: white strokes on green at all four rotations, and what is no name.
#include "alignment/designator_reader.h"

#include <doctest/doctest.h>

#include <opencv2/imgproc.hpp>

#include "alignment/grey_picture.h"
#include "alignment/silkscreen_words.h"
#include "editing/mark_rules.h"

using namespace boardlore;

namespace {

constexpr double px_per_mm = 20;
constexpr int width_mm = 48, height_mm = 30;

struct Printed {
  const char* word;
  BoardPoint at;
  int turns;  // quarter turns counter-clockwise
};

// Strokes of a plotter's letters (Hershey 1967, as OpenCV has them), 1.4 mm tall.
void print_word(cv::Mat& board, const Printed& printed) {
  int below = 0;
  const double scale = 1.4 * px_per_mm / 21;
  const cv::Size size = cv::getTextSize(printed.word, cv::FONT_HERSHEY_SIMPLEX, scale, 3, &below);
  cv::Mat patch(size.height + 12, size.width + 12, CV_8UC3, cv::Scalar(24, 92, 52));
  cv::putText(patch, printed.word, {6, size.height + 5}, cv::FONT_HERSHEY_SIMPLEX, scale, cv::Scalar(235, 238, 232), 3, cv::LINE_AA);
  if (printed.turns == 1) cv::rotate(patch, patch, cv::ROTATE_90_COUNTERCLOCKWISE);
  if (printed.turns == 2) cv::rotate(patch, patch, cv::ROTATE_180);
  if (printed.turns == 3) cv::rotate(patch, patch, cv::ROTATE_90_CLOCKWISE);
  const cv::Point corner(cvRound(printed.at.x_mm * px_per_mm) - patch.cols / 2, cvRound((height_mm - printed.at.y_mm) * px_per_mm) - patch.rows / 2);
  patch.copyTo(board(cv::Rect(corner, patch.size())));
}

cv::Mat drawn_board(const std::vector<Printed>& words) {
  cv::Mat board(height_mm * static_cast<int>(px_per_mm), width_mm * static_cast<int>(px_per_mm), CV_8UC3, cv::Scalar(24, 92, 52));
  for (const Printed& word : words) print_word(board, word);
  cv::Mat noise(board.size(), CV_8UC3);
  cv::theRNG().state = 7;
  cv::randn(noise, cv::Scalar::all(0), cv::Scalar::all(3));
  cv::add(board, noise, board, cv::noArray(), CV_8UC3);
  return board;
}

Registration square_on() {
  Registration registration;
  registration.board_from_photo.rows = {1 / px_per_mm, 0, 0, 0, -1 / px_per_mm, height_mm, 0, 0, 1};
  registration.px_per_mm = px_per_mm;
  return registration;
}

Board small_board() {
  Board board;
  board.width_mm = width_mm, board.height_mm = height_mm;
  return board;
}

const std::vector<Printed> words{{"R12", {8, 24}, 0}, {"C47", {20, 24}, 1}, {"U3", {32, 24}, 2}, {"D15", {42, 24}, 3},
                                 {"Q4", {8, 12}, 0},  {"R8", {20, 12}, 1},  {"L2", {32, 12}, 0}, {"TP6", {42, 12}, 2}};

const ReadDesignator* named(const std::vector<ReadDesignator>& read, const std::string& refdes) {
  for (const ReadDesignator& one : read)
    if (one.refdes == refdes) return &one;
  return nullptr;
}

}  // namespace

TEST_CASE("words are boxed where they stand, rows and columns told apart") {
  const cv::Mat board = drawn_board(words);
  const auto boxes = word_boxes(print_of(board, cv::Mat(board.size(), CV_8U, cv::Scalar(255))), px_per_mm);
  for (const Printed& word : words) {
    CAPTURE(word.word);
    const cv::Point at(cvRound(word.at.x_mm * px_per_mm), cvRound((height_mm - word.at.y_mm) * px_per_mm));
    CHECK(std::any_of(boxes.begin(), boxes.end(), [&](const WordBox& box) { return box.box.contains(at) && box.is_column == (word.turns % 2 == 1); }));
  }
}

TEST_CASE("designators are read at all four rotations, with their place, and turn") {
  if (!can_read_designators()) {
    MESSAGE("skipped: built without Tesseract, or its English data is not there");
    return;
  }
  const auto read = read_designators(raster_of(drawn_board(words)), square_on(), small_board(), Side::top);
  REQUIRE(read);
  int right = 0;
  for (const Printed& word : words) {
    const ReadDesignator* one = named(*read, word.word);
    if (!one) continue;
    ++right;
    CAPTURE(word.word);
    CHECK(distance_mm(one->at, word.at) < 0.6);
    CHECK(one->turn_deg == 90 * word.turns);
    CHECK(one->height_mm == doctest::Approx(1.4).epsilon(0.25));
    CHECK(one->confidence > 0);
    CHECK(one->confidence <= 1);
  }
  CHECK(right >= 6);
  // Seen from below the same print is mirrored and says nothing; turned over in the photo it is read where it is.
  cv::Mat turned_over;
  cv::flip(drawn_board(words), turned_over, 1);
  Registration from_below = square_on();
  from_below.board_from_photo.rows = {-1 / px_per_mm, 0, width_mm, 0, -1 / px_per_mm, height_mm, 0, 0, 1};
  cv::flip(turned_over, turned_over, 1);  // the bottom photo shows the print upright
  const auto bottom = read_designators(raster_of(turned_over), from_below, small_board(), Side::bottom);
  REQUIRE(bottom);
  const ReadDesignator* below = named(*bottom, "R12");
  REQUIRE(below);
  CHECK(below->at.x_mm == doctest::Approx(width_mm - 8).epsilon(0.02));
}

TEST_CASE("what is on the board already is not proposed, nor a name twice, nor what is hardly legible") {
  const std::vector<ReadDesignator> read{{"C1", {1, 1}, 1, 0, 0.9}, {"C2", {2, 2}, 1, 0, 0.8}, {"C1", {9, 9}, 1, 0, 0.7}, {"C3", {3, 3}, 1, 0, 0.2}};
  Layer layer;
  Mark mark;
  mark.id = Id{"00000000-0000-7000-8000-000000000001"}, mark.refdes = "c2", mark.side = Side::bottom;
  layer.marks = layer.marks.with(std::make_shared<const Mark>(mark));
  const auto proposed = new_designators(read, layer);
  REQUIRE(proposed.size() == 1);
  CHECK(proposed[0].refdes == "C1");
  CHECK(proposed[0].at.x_mm == 1);
  CHECK(new_designators(read, layer, 0.1).size() == 2);
  CHECK((mark_of({"TP4", {1, 2}, 1, 0, 0.9}, Side::top).kind == MarkKind::probe));
  CHECK((mark_of({"R4", {1, 2}, 1, 0, 0.9}, Side::bottom).side == Side::bottom));
}

TEST_CASE("reading stops when asked, says how far it is, and refuses a board without a size") {
  if (!can_read_designators()) return;
  const Raster photo = raster_of(drawn_board(words));
  std::stop_source stop;
  double last = -1;
  bool falls = false;
  const auto stopped = read_designators(photo, square_on(), small_board(), Side::top, stop.get_token(), [&](double done) {
    falls = falls || done < last;
    last = done;
    if (done > 0.2) stop.request_stop();
  });
  REQUIRE_FALSE(stopped);
  CHECK(stopped.problem().found == kStopped);
  CHECK_FALSE(falls);
  CHECK(last < 0.6);
  CHECK_FALSE(read_designators(photo, square_on(), Board{}, Side::top));
}
