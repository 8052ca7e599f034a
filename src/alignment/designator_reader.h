// Designators read from the board's own print, as proposals: never more than that.
//
// A new board model without a list takes an hour of typing names that stand on the board already. The photo is
// straightened on the board frame, places where a word may stand are found (silkscreen_words.h) and read by
// Tesseract, an optional package, at both directions each can have: all four rotations. What reads as letters
// and a number is proposed with a confidence; a person takes or rejects each. What is read elsewhere (markings of
// parts, stickers) may look like a designator too: the confidence says little of that, the eye does.
#pragma once

#include <stop_token>
#include <string>
#include <vector>

#include "domain/layer.h"
#include "domain/problem.h"
#include "domain/registration.h"
#include "pictures/progress.h"
#include "pictures/raster.h"

namespace boardlore {

struct ReadDesignator {
  std::string refdes;       // upper case
  BoardPoint at;            // middle of the printed word; the part lies beside it
  double height_mm = 0;     // of the characters
  int turn_deg = 0;         // how the word is turned, counter-clockwise as seen from its own side: 0, 90, 180, 270
  double confidence = 0;    // 0 to 1
};

// Whether this program was built with Tesseract and its English data is there.
bool can_read_designators();

// Best first; of words read twice in one place the better one, of a name read in two places both. Refused: no size of the board, Tesseract not there, stopped.
Result<std::vector<ReadDesignator>> read_designators(const Raster& photo, const Registration& registration, const Board& board, Side side,
                                                     const std::stop_token& stop = {}, const ProgressFn& progress = {});

// Below this a reading is not worth a look. Measured on the demo board (tests/benchmarks/designators.cpp).
constexpr double least_designator_confidence = 0.5;

// What is worth proposing: names that the board has not yet (on either side), of one name read twice the better.
std::vector<ReadDesignator> new_designators(const std::vector<ReadDesignator>& read, const Layer& layer,
                                            double least_confidence = least_designator_confidence);
// A part at the word's middle, a test point as a probe; no id, no time.
Mark mark_of(const ReadDesignator& read, Side side);

}  // namespace boardlore
