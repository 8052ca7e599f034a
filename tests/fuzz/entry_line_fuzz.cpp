// Law: any bytes give a line, a fault or a question; a fault's place lies on the line; a line printed and
// parsed again is the same line (where its printed form is not too long to be typed); nothing crashes or hangs.
#include <cstdint>
#include <cstdlib>
#include <memory>
#include <string_view>

#include "domain/layer.h"
#include "judging/entry_line.h"

using namespace boardlore;

namespace {

Layer fuzz_board() {
  Layer layer;
  int serial = 0;
  for (const char* name : {"C14", "U3", "R5", "TP4", "D1", "BT1", "L2", "Y1", "R5"}) {
    Mark mark;
    mark.id = Id{std::to_string(serial++)};
    mark.kind = MarkKind::part;
    mark.side = serial == 9 ? Side::bottom : Side::top;
    mark.refdes = name;
    layer.marks = layer.marks.with(std::make_shared<const Mark>(mark));
  }
  return layer;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const Layer layer = fuzz_board();
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  for (const Layer* board : {static_cast<const Layer*>(nullptr), &layer}) {
    const ParsedEntry parsed = parse_entry_line(text, {board, {}});
    if (const auto* fault = std::get_if<EntryFault>(&parsed)) {
      if (fault->column < 1 || fault->column > size + 1 || fault->accepted.empty()) std::abort();
    } else if (const auto* question = std::get_if<EntryQuestion>(&parsed)) {
      if (question->column < 1 || question->column > size + 1 || question->choices.size() < 2) std::abort();
    } else if (!board) {
      const std::string printed = canonical_line(std::get<EntryLine>(parsed), {});
      if (printed.size() > longest_entry_line) return 0;  // units spelt out: longer than anybody may type
      const ParsedEntry again = parse_entry_line(printed, {});
      const auto* line = std::get_if<EntryLine>(&again);
      if (!line || line->words != std::get<EntryLine>(parsed).words || canonical_line(*line, {}) != printed) std::abort();
    }
  }
  return 0;
}
