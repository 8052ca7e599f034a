// Law: whatever the bytes, a list of any kind is understood or a Problem says what was expected; what was refused names
// a line of it; what is planned can be applied to the board, and the board written and read again.
#include <cstdint>

#include "demand.h"
#include "editing/document.h"
#include "import/read_list.h"
#include "storage/documents.h"

using namespace boardlore;

namespace {

Layer board() {
  Layer layer;
  layer.id = Id{"00000000-0000-7000-8000-000000000001"};
  layer.board.model = "Model";
  int n = 0;
  for (const char* name : {"C14", "U3", "R5"}) {
    Mark mark;
    mark.id = Id{"00000000-0000-7000-8000-00000000001" + std::to_string(n)};
    mark.kind = MarkKind::part;
    mark.refdes = name;
    mark.at = {10.0 * n + 5, 7.0 * n * n + 3};
    layer.marks = layer.marks.with(std::make_shared<const Mark>(mark));
    ++n;
  }
  return layer;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const Layer layer = board();
  if (size == 0 || size > 20'000) return 0;
  // The first byte chooses what the file is called; the rest is the file.
  static const char* const names[] = {"list.csv", "list.pos", "list.ipc", "list.txt", "list.tsv", "list.net"};
  static const char* const kinds[] = {"auto", "placement", "netlist", "points"};
  ListOptions options;
  options.file = names[data[0] % 6];
  options.kind = kinds[data[0] / 6 % 4];
  const std::string_view bytes(reinterpret_cast<const char*>(data) + 1, size - 1);
  const Result<Understood> list = understand_list(bytes, options, layer);
  if (!list) {
    demand(!list.problem().expected.empty(), "a Problem says what was expected");
    return 0;
  }
  for (const RefusedRow& row : list->refused) demand(row.line >= 1 && !row.reason.empty(), "a refused row has a line and a reason");
  Result<TiedList> tied = tie_list(options, *list);
  if (!tied) {
    options.frame = "same";
    tied = tie_list(options, *list);
  }
  if (!tied) return 0;
  (void)remarks_on(*tied);
  unsigned next = 100;
  const ImportPlan plan = plan_list(layer, *list, *tied, [&] { return Id{"00000000-0000-7000-8000-000000000" + std::to_string(next++)}; }, Timestamp{1000});
  Snapshot now{std::make_shared<const Layer>(layer), nullptr};
  for (const Edit& edit : plan.edits) {
    const Result<Snapshot> after = boardlore::apply(now, edit);
    demand(bool(after), "what is planned can be applied");
    now = *after;
  }
  if (next < 1000) demand(bool(read_layer(write_layer(*now.layer), "written")), "the board can be written and read");
  return 0;
}
