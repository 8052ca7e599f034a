// Law: whatever the bytes, opening them gives a picture of its stated size or a Problem that says what was
// expected; what scrubbing passes has nothing private left that we know of, and shows the same pixels.
#include <cstdint>

#include "demand.h"
#include "pictures/photo_file.h"
#include "pictures/scrub.h"

using namespace boardlore;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto bytes = std::as_bytes(std::span(data, size));
  const Result<Raster> preview = decode_preview_memory(bytes, "fuzz", 16);
  // A few kilobytes may hold some megapixels honestly; those only cost time here.
  if (preview && static_cast<long long>(preview->width_px) * preview->height_px > 100'000) return 0;
  const Result<Raster> raster = decode_memory(bytes, "fuzz");
  if (raster)
    demand(raster->rgba.size() == std::size_t{4} * static_cast<unsigned>(raster->width_px) * static_cast<unsigned>(raster->height_px),
           "a picture has the pixels it says");
  else
    demand(!raster.problem().expected.empty() && raster.problem().file == "fuzz", "a Problem says file and what was expected");
  (void)private_metadata_of(bytes, "fuzz");
  const Result<std::string> copy = scrubbed_bytes(bytes, "fuzz");
  if (!copy) return 0;
  const auto copied = std::as_bytes(std::span(copy->data(), copy->size()));
  const auto left = private_metadata_of(copied, "fuzz");
  demand(left && left->empty(), "a scrubbed copy has nothing private left");
  const Result<Raster> again = decode_memory(copied, "fuzz");
  if (raster) demand(again && *again == *raster, "a scrubbed copy shows the same picture");
  return 0;
}
