#include "alignment/designator_reader.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <memory>
#include <set>

#include "alignment/board_picture.h"
#include "alignment/silkscreen_words.h"
#include "judging/designator.h"

#ifdef BOARDLORE_HAVE_TESSERACT
#include <tesseract/baseapi.h>
#endif

namespace boardlore {

namespace {

constexpr double px_per_mm_wanted = 24;   // a legend of 1.2 mm is then 29 pixels tall
constexpr double most_pixels = 40e6;
constexpr int word_height_px = 34;        // what the reader's own training lines have, about

std::string upper(std::string text) {
  for (char& c : text) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return text;
}

// What a reader takes for the other: the number's place in a designator settles it.
char digit_like(char c) {
  switch (c) {
    case 'O': case 'Q': case 'D': return '0';
    case 'I': case 'L': return '1';
    case 'Z': return '2';
    case 'S': return '5';
    case 'G': return '6';
    case 'B': return '8';
    default: return 0;
  }
}

struct Name {
  std::string refdes;
  double share = 1;  // of the confidence that is left
};

// "C1O" -> C10 at a discount; nullopt: not letters and a number.
std::optional<Name> name_in(const std::string& word) {
  std::string text;
  for (const char c : upper(word))
    if (std::isalnum(static_cast<unsigned char>(c))) text += c;
  if (text.size() < 2 || text.size() > 6) return std::nullopt;
  Name name;
  std::size_t letters = 0;
  while (letters < text.size() && std::isalpha(static_cast<unsigned char>(text[letters]))) ++letters;
  if (letters == text.size()) {  // "CI", "RIO": at least the last must be a number
    while (letters > 1 && digit_like(text[letters - 1]) != 0) --letters;
    if (letters == text.size()) return std::nullopt;
  }
  if (letters == 0 || letters > 3) return std::nullopt;
  for (std::size_t i = letters; i < text.size(); ++i)
    if (!std::isdigit(static_cast<unsigned char>(text[i]))) {
      const char digit = digit_like(text[i]);
      if (digit == 0) return std::nullopt;
      text[i] = digit, name.share *= 0.8;
    }
  if (text.size() - letters > 4 || text[letters] == '0') return std::nullopt;
  name.refdes = text;
  if (part_class(text) == PartClass::unsettled) name.share *= letters == 1 ? 0.8 : 0.6;
  return name;
}

#ifdef BOARDLORE_HAVE_TESSERACT

struct Reader {
  tesseract::TessBaseAPI api;
  bool good = false;
  Reader() {
    good = api.Init(nullptr, "eng", tesseract::OEM_LSTM_ONLY) == 0;
    if (!good) return;
    api.SetPageSegMode(tesseract::PSM_SINGLE_LINE);
    api.SetVariable("tessedit_char_whitelist", "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789");
    api.SetVariable("load_system_dawg", "0");
    api.SetVariable("load_freq_dawg", "0");
    api.SetVariable("debug_file", "/dev/null");
  }
  // Empty where nothing was read. Confidence 0 to 1.
  std::pair<std::string, double> read(const cv::Mat& picture) {
    api.SetImage(picture.data, picture.cols, picture.rows, 1, static_cast<int>(picture.step));
    api.SetSourceResolution(200);
    const std::unique_ptr<char[]> text(api.GetUTF8Text());
    return {text ? text.get() : "", api.MeanTextConf() / 100.0};
  }
};

#endif

// Of readings that lie on each other the better one.
void drop_doubles(std::vector<ReadDesignator>& read) {
  std::stable_sort(read.begin(), read.end(), [](const ReadDesignator& a, const ReadDesignator& b) { return a.confidence > b.confidence; });
  std::vector<ReadDesignator> kept;
  for (ReadDesignator& one : read)
    if (std::none_of(kept.begin(), kept.end(), [&](const ReadDesignator& other) { return distance_mm(one.at, other.at) < 0.8 * std::max(one.height_mm, other.height_mm); }))
      kept.push_back(std::move(one));
  read = std::move(kept);
}

}  // namespace

#ifdef BOARDLORE_HAVE_TESSERACT

bool can_read_designators() {
  static const bool can = Reader().good;
  return can;
}

Result<std::vector<ReadDesignator>> read_designators(const Raster& photo, const Registration& registration, const Board& board, Side side,
                                                     const std::stop_token& stop, const ProgressFn& progress) {
  if (!board.width_mm || !board.height_mm)
    return Problem{"", "/board/width_mm", "a board with its size in mm", "none", Outcome::finding};
  if (photo.empty()) return Problem{"", "", "a photo with pixels", "an empty one"};
  Reader reader;
  if (!reader.good) return Problem{"", "", "Tesseract's English data (package tesseract-ocr-eng)", "none", Outcome::system_failed};
  const BoardRect whole{0, 0, *board.width_mm, *board.height_mm};
  const double px_per_mm = std::min(px_per_mm_wanted, std::sqrt(most_pixels / (whole.width_mm * whole.height_mm)));
  std::vector<ReadDesignator> read;
  try {
    BoardPicture drawn = draw_on_board(colour_of(photo), board_map_of(registration), whole, px_per_mm);
    // The bottom as one sees it turned over: so its words read.
    if (side == Side::bottom) {
      cv::flip(drawn.picture, drawn.picture, 1);
      cv::flip(drawn.valid, drawn.valid, 1);
    }
    const cv::Mat print = print_of(drawn.picture, drawn.valid);
    const std::vector<WordBox> words = word_boxes(print, px_per_mm);
    for (std::size_t i = 0; i < words.size(); ++i) {
      if (stop.stop_requested()) return Problem{"", "", "the reading to finish", kStopped, Outcome::finding};
      if (progress) progress(static_cast<double>(i) / static_cast<double>(words.size()));
      const WordBox& word = words[i];
      const cv::Point2d middle(word.box.x + 0.5 * word.box.width - 0.5, word.box.y + 0.5 * word.box.height - 0.5);
      ReadDesignator best;
      for (const int turns : {word.is_column ? 1 : 0, word.is_column ? 3 : 2}) {
        const auto [text, confidence] = reader.read(word_picture(print, word, turns, word_height_px));
        const auto name = name_in(text);
        if (!name || name->share * confidence <= best.confidence) continue;
        best.refdes = name->refdes, best.confidence = std::round(1000 * name->share * confidence) / 1000, best.turn_deg = 90 * turns;
      }
      if (best.refdes.empty()) continue;
      best.at = drawn.board(side == Side::bottom ? cv::Point2d(print.cols - 1 - middle.x, middle.y) : middle);
      best.height_mm = (word.is_column ? word.box.width : word.box.height) / px_per_mm;
      read.push_back(std::move(best));
    }
  } catch (const cv::Exception& error) {
    return Problem{"", "", "a picture that can be straightened", error.err, Outcome::system_failed};
  }
  drop_doubles(read);
  if (progress) progress(1);
  return read;
}

#else

bool can_read_designators() { return false; }

Result<std::vector<ReadDesignator>> read_designators(const Raster&, const Registration&, const Board&, Side, const std::stop_token&,
                                                     const ProgressFn&) {
  return Problem{"", "", "a program built with Tesseract (package libtesseract-dev)", "one without", Outcome::system_failed};
}

#endif

std::vector<ReadDesignator> new_designators(const std::vector<ReadDesignator>& read, const Layer& layer, double least_confidence) {
  std::set<std::string> taken;
  layer.marks.each([&](const MarkPtr& mark) {
    if (!mark->refdes.empty()) taken.insert(upper(mark->refdes));
  });
  std::vector<ReadDesignator> fresh;
  for (const ReadDesignator& one : read)
    if (one.confidence >= least_confidence && taken.insert(one.refdes).second) fresh.push_back(one);
  return fresh;
}

Mark mark_of(const ReadDesignator& read, Side side) {
  Mark mark;
  mark.kind = part_class(read.refdes) == PartClass::test_point ? MarkKind::probe : MarkKind::part;
  mark.refdes = read.refdes;
  mark.side = side;
  mark.at = {std::round(read.at.x_mm * 1000) / 1000, std::round(read.at.y_mm * 1000) / 1000};
  return mark;
}

}  // namespace boardlore
