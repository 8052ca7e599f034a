// Law: whatever a journal line says, laying it over a document gives a document that can be written and read,
// or a Problem; the same line once more changes nothing.
#include <cstdint>

#include "demand.h"
#include "storage/documents.h"
#include "storage/journal.h"

using namespace boardlore;

namespace {

Snapshot start() {
  Layer layer;
  layer.id = Id{"00000000-0000-7000-8000-000000000001"};
  layer.board.model = "Model";
  Mark mark;
  mark.id = Id{"00000000-0000-7000-8000-000000000002"};
  layer.marks = layer.marks.with(std::make_shared<const Mark>(mark));
  Job job;
  job.id = Id{"00000000-0000-7000-8000-000000000003"};
  job.board.layer = layer.id;
  return Snapshot{std::make_shared<const Layer>(layer), std::make_shared<const Job>(job)};
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const Snapshot before = start();
  const std::string_view line(reinterpret_cast<const char*>(data), size);
  const Result<Snapshot> after = apply_journal_entry(before, line);
  if (!after) return 0;
  demand(bool(read_layer(write_layer(*after->layer), "written")), "the layer can be written and read");
  const Result<Snapshot> twice = apply_journal_entry(*after, line);
  demand(twice && *twice->layer == *after->layer && *twice->job == *after->job, "a line twice is a line once");
  (void)apply_journal_entries(*after, {line}, JournalWay::backward);
  return 0;
}
