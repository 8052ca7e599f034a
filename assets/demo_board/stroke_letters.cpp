#include "stroke_letters.h"

namespace demo_board {
namespace {

// Digits are x then y on the grid; a blank lifts the pen.
std::string_view letter(char c) {
  switch (c) {
    case 'A': return "0004264440 0242";
    case 'B': return "00063645443303 3342413000";
    case 'C': return "4536160501103041";
    case 'D': return "00062644422000";
    case 'E': return "46060040 0333";
    case 'F': return "460600 0333";
    case 'G': return "45361605011030414323";
    case 'H': return "0006 4046 0343";
    case 'I': return "2026 1636 1030";
    case 'J': return "4641301001";
    case 'K': return "0006 4602 1340";
    case 'L': return "060040";
    case 'M': return "0006234640";
    case 'N': return "00064046";
    case 'O': return "103041453616050110";
    case 'P': return "00063645443303";
    case 'Q': return "103041453616050110 2240";
    case 'R': return "00063645443303 2340";
    case 'S': return "453616050413334241301001";
    case 'T': return "2026 0646";
    case 'U': return "060110304146";
    case 'V': return "062046";
    case 'W': return "0610233046";
    case 'X': return "0046 0640";
    case 'Y': return "062346 2320";
    case 'Z': return "06460040";
    case '0': return "103041453616050110 1234";
    case '1': return "152620 1030";
    case '2': return "05163645440040";
    case '3': return "0516364544334241301001 1333";
    case '4': return "30360242";
    case '5': return "460603334241301001";
    case '6': return "36160501103041423303";
    case '7': return "064610";
    case '8': return "13040516364544331302011030414233";
    case '9': return "10304145361605041343";
    case '-': return "1333";
    case '+': return "0343 2125";
    case '.': return "2021";
    case ':': return "2122 2425";
    case '/': return "0046";
    default: return "";
  }
}

constexpr double advance = 5.6 / 6.0;

}  // namespace

std::vector<Stroke> stroke_text(std::string_view text) {
  std::vector<Stroke> strokes;
  double left = 0.0;
  for (char c : text) {
    Stroke stroke;
    const std::string_view plot = letter(c);
    for (std::size_t i = 0; i < plot.size();) {
      if (plot[i] == ' ') {
        strokes.push_back(stroke);
        stroke.clear();
        ++i;
        continue;
      }
      stroke.push_back({left + (plot[i] - '0') / 6.0, (plot[i + 1] - '0') / 6.0});
      i += 2;
    }
    if (!stroke.empty()) strokes.push_back(stroke);
    left += advance;
  }
  return strokes;
}

double stroke_text_width(std::string_view text) {
  return text.empty() ? 0.0 : advance * static_cast<double>(text.size() - 1) + 4.0 / 6.0;
}

}  // namespace demo_board
