// Law: whatever a TIFF block holds, reading its few fields gives a sane orientation and a time or none; in a JPEG and in
// a PNG it is found, and nothing of it but the orientation survives scrubbing.
#include <cstdint>

#include "demand.h"
#include "pictures/encode.h"
#include "pictures/exif_fields.h"
#include "pictures/png_chunks.h"
#include "pictures/scrub.h"

using namespace boardlore;

namespace {

std::span<const std::byte> bytes_of(const std::string& text) { return std::as_bytes(std::span(text.data(), text.size())); }

Raster small() {
  Raster raster{8, 8, {}};
  raster.rgba.assign(std::size_t{4} * 8 * 8, 200);
  for (std::size_t i = 3; i < raster.rgba.size(); i += 4) raster.rgba[i] = 255;
  return raster;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size > 60'000) return 0;
  const std::string block(reinterpret_cast<const char*>(data), size);
  const ExifFields fields = exif_fields(bytes_of(block));
  demand(fields.orientation >= 1 && fields.orientation <= 8, "an orientation from 1 to 8");
  (void)exif_time(fields.taken_text, fields.taken_offset);
  static const std::string jpeg = *jpeg_bytes(small(), 80), png = *png_bytes(small());
  const std::size_t length = block.size() + 8;
  const std::string in_jpeg = jpeg.substr(0, 2) + std::string{'\xFF', '\xE1', static_cast<char>(length >> 8), static_cast<char>(length & 255)} +
                              std::string("Exif\0\0", 6) + block + jpeg.substr(2);
  const std::string in_png = png.substr(0, 33) + png_chunk_bytes("eXIf", block) + png.substr(33);
  for (const std::string* picture : {&in_jpeg, &in_png}) {
    (void)private_metadata_of(bytes_of(*picture), "fuzz");
    const Result<std::string> copy = scrubbed_bytes(bytes_of(*picture), "fuzz");
    demand(bool(copy), "a good picture with any Exif can be scrubbed");
    const auto left = private_metadata_of(bytes_of(*copy), "copy");
    demand(left && left->empty(), "nothing private is left");
    demand(exif_fields(exif_block(bytes_of(*copy), "copy")).orientation == fields.orientation, "the orientation stays");
  }
  return 0;
}
