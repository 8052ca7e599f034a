#include "pictures/exif_fields.h"
#include "pictures/png_chunks.h"
#include "pictures/scrub_parts.h"

namespace boardlore {
namespace {

// PNG specification, sections 5 and 11: what the picture is made of and how its colours are meant. Text, time,
// Exif, animation and everything private or unknown is not on the list.
bool belongs_to_the_picture(const std::string& type) {
  for (const char* known : {"IHDR", "PLTE", "IDAT", "IEND", "tRNS", "gAMA", "cHRM", "sRGB", "sBIT", "pHYs", "bKGD"})
    if (type == known) return true;
  return false;
}

// Name, zero, method, compressed profile. The name is free text: ours replaces it.
std::string icc_chunk(std::string_view data) {
  const std::size_t end_of_name = data.find('\0');
  if (end_of_name == std::string_view::npos || end_of_name > 79) return {};
  return png_chunk_bytes("iCCP", std::string("profile") + std::string(data.substr(end_of_name)));
}

std::string_view text_of(std::span<const std::byte> bytes) {
  return {reinterpret_cast<const char*>(bytes.data()), bytes.size()};
}

}  // namespace

Result<std::string> scrubbed_png(std::span<const std::byte> bytes, const std::string& name) {
  const Result<std::vector<PngChunk>> chunks = png_chunks(bytes, name);
  if (!chunks) return chunks.problem();
  const int orientation = exif_fields(exif_block(bytes, name)).orientation;
  std::string scrubbed(kPngSignature);
  for (const PngChunk& chunk : *chunks) {
    if (belongs_to_the_picture(chunk.type)) scrubbed += png_chunk_bytes(chunk.type, text_of(chunk.data));
    if (chunk.type == "iCCP") scrubbed += icc_chunk(text_of(chunk.data));
    if (chunk.type == "IHDR" && orientation != 1) scrubbed += png_chunk_bytes("eXIf", exif_block_with(orientation));
  }
  return scrubbed;
}

Result<std::vector<std::string>> private_in_png(std::span<const std::byte> bytes, const std::string& name) {
  const Result<std::vector<PngChunk>> chunks = png_chunks(bytes, name);
  if (!chunks) return chunks.problem();
  Findings found;
  for (const PngChunk& chunk : *chunks) {
    if (chunk.type == "eXIf")
      found.add_exif(chunk.data);
    else if (chunk.type == "iTXt" && text_of(chunk.data).starts_with("XML:com.adobe.xmp"))
      found.add("XMP packet");
    else if (chunk.type == "tEXt" || chunk.type == "zTXt" || chunk.type == "iTXt")
      found.add("comment (" + chunk.type + " chunk)");
    else if (chunk.type == "tIME")
      found.add("time of last change");
    else if (chunk.type != "iCCP" && !belongs_to_the_picture(chunk.type))
      found.add(chunk.type + " chunk of unknown content");
  }
  const std::size_t behind = bytes.size() - chunks->back().end();
  if (behind != 0) found.add(std::to_string(behind) + " bytes behind the end of the picture");
  return std::move(found).list();
}

Result<std::string> with_profile_of(const std::string& png, const std::string& other, const std::string& name) {
  const auto bytes_of = [](const std::string& text) { return std::as_bytes(std::span(text.data(), text.size())); };
  const Result<std::vector<PngChunk>> chunks = png_chunks(bytes_of(png), name), theirs = png_chunks(bytes_of(other), name);
  if (!chunks || !theirs) return chunks ? theirs.problem() : chunks.problem();
  std::string profile;
  for (const PngChunk& chunk : *theirs)
    if (chunk.type == "iCCP") profile = png_chunk_bytes(chunk.type, text_of(chunk.data));
  // Before the pixels, as the specification has it: right behind the header.
  const std::size_t header_end = chunks->front().end();
  return png.substr(0, header_end) + profile + png.substr(header_end);
}

}  // namespace boardlore
