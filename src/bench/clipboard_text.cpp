#include "bench/clipboard_text.h"

#include <cstdio>

#include "bench/theme.h"

namespace boardlore {
namespace {

std::string cell(std::string words) {
  for (char& c : words)
    if (c == '\t' || c == '\n' || c == '\r') c = ' ';
  // A spreadsheet would run it; a number may begin with a sign.
  if (!words.empty() && (words[0] == '=' || words[0] == '@' || ((words[0] == '+' || words[0] == '-') && (words.size() < 2 || !std::isdigit(static_cast<unsigned char>(words[1])))))) words.insert(0, "'");
  return words;
}

}  // namespace

std::string readings_text(const std::vector<ReadingRow>& rows) {
  std::string text = "Point\tQuantity\tValue\tVerdict\tWhy\tTaken\n";
  for (const ReadingRow& row : rows) {
    const std::string taken = to_rfc3339(row.reading.taken_at);
    const std::string cells[] = {row.reading.refdes + (row.reading.pin.empty() ? "" : "." + row.reading.pin), std::string(quantity_name(row.reading.quantity)), row.value,
                                 std::string(verdict_words(row.judgement.verdict)), row.judgement.reason, taken};
    for (std::size_t i = 0; i < std::size(cells); ++i) text += (i == 0 ? "" : "\t") + cell(cells[i]);
    text += '\n';
  }
  return text;
}

std::string mark_text(const Layer& layer, const Job* job, const Mark& mark, Timestamp now) {
  char place[96];
  std::snprintf(place, sizeof place, "%s, x %.2f  y %.2f mm", std::string(side_name(mark.side)).c_str(), mark.at.x_mm, mark.at.y_mm);
  std::string text = (mark.refdes.empty() ? kind_words(mark.kind) : mark.refdes + ", " + kind_words(mark.kind)) + "\n";
  const Board& board = layer.board;
  text += board.maker + (board.maker.empty() ? "" : " ") + board.model + (board.revision.empty() ? "" : " " + board.revision) + ", " + place + "\n";
  if (!mark.value.empty()) text += "value " + mark.value + "\n";
  if (!mark.reason.empty()) text += "keep-out: " + mark.reason + "\n";
  if (!mark.text.empty()) text += mark.text + "\n";
  for (const auto& [what, markings] : {std::pair{"fits: ", &mark.accept}, std::pair{"does not fit: ", &mark.refuse}}) {
    std::string all;
    for (const std::string& marking : *markings) all += (all.empty() ? "" : ", ") + marking;
    if (!all.empty()) text += what + all + "\n";
  }
  if (job)
    for (const ReadingRow& row : reading_rows(layer, *job, {}, ReadingOrder::taken, false, now))
      if (row.reading.mark == mark.id)
        text += row.reading.refdes + (row.reading.pin.empty() ? "" : "." + row.reading.pin) + "  " + row.value + "  " + std::string(verdict_words(row.judgement.verdict)) + "\n";
  for (const Note& note : mark.notes)
    if (!note.internal) text += note.text + "\n";
  return text;
}

}  // namespace boardlore
