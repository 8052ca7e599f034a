// Where words may stand on a straightened board: boxes for a text reader, nothing is read here.
//
// A text reader made for pages loses itself among pads and traces. Printed designators are thin strokes of one
// height, a few characters in a row: strokes are lifted off the mask by a top-hat (Serra 1982, from memory), their
// connected pieces sorted by size, and pieces of like height in a row joined. Rows and columns both, as labels stand
// upright beside some parts. Too many boxes are no harm: what is no designator is refused by the reader.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

namespace boardlore {

struct WordBox {
  cv::Rect box;           // of the characters, without margin
  bool is_column = false;  // characters one above the other: the word reads up or down
};

// How light the print is against what is around it: lightest colour channel that all share, so that white stands out
// of any mask; turned over where the board is light and its print dark. CV_8U.
cv::Mat print_of(const cv::Mat& rgb, const cv::Mat& valid);

std::vector<WordBox> word_boxes(const cv::Mat& print, double px_per_mm);

// One word as a reader wants it: dark on white, `height_px` tall, level, with a margin. `quarter_turns`
// counter-clockwise, 0 to 3, are taken out.
cv::Mat word_picture(const cv::Mat& print, const WordBox& word, int quarter_turns, int height_px);

}  // namespace boardlore
