// Law: whatever the bytes, reading them as a layer gives a layer or a Problem that says what was expected; a
// layer written, read and written again is the same bytes, and merging it with itself changes nothing.
#include <cstdint>

#include "demand.h"
#include "storage/documents.h"
#include "storage/merge.h"

using namespace boardlore;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  const Result<Layer> layer = read_layer(text, "fuzz");
  if (!layer) {
    demand(!layer.problem().expected.empty(), "a Problem says what was expected");
    return 0;
  }
  const std::string written = write_layer(*layer);
  const Result<Layer> again = read_layer(written, "written");
  demand(bool(again), "what was written can be read");
  demand(write_layer(*again) == written, "read and written again: the same bytes");
  const Result<MergedLayer> merged = merge_layers(*layer, *layer, *layer);
  demand(merged && write_layer(merged->layer) == written, "merged with itself: the same");
  return 0;
}
