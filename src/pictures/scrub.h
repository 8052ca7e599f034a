// Photos that leave the shop say nothing about its owner, its place or its camera.
//
// Taking known tags out leaves the ones nobody knew: a serial number sits in XMP, in a comment, in a maker
// note, behind the end of the picture. So a scrubbed copy is put together anew from the parts a decoder
// needs and from the orientation and the colour profile; whatever is not on that list is left out, known
// or not. The picture itself is copied bit by bit, never re-encoded. Sources: ITU-T T.81 (JPEG markers),
// CIPA DC-008 (Exif), ICC.1 annex B.4 (profile in APP2), PNG specification (chunks).
// What is visible in the picture (a label with a serial number) stays: cover it.
#pragma once

#include <filesystem>
#include <span>
#include <string>
#include <vector>

#include "domain/problem.h"
#include "pictures/raster.h"

namespace boardlore {

// JPEG and PNG. Other formats are a Problem: cover_region, with no region, writes them as JPEG.
// A damaged or cut-off file is a Problem; `path` is never written to.
Result<std::string> scrubbed_copy_bytes(const std::filesystem::path& path);
Result<std::string> scrubbed_bytes(std::span<const std::byte> bytes, const std::string& name);

// What in the file may say more than the picture, one line each: "GPS position", "camera serial number",
// "comment", "12 bytes behind the end of the picture". Empty: nothing found. Names what is there, never
// its value, so that a report may be shown and kept.
Result<std::vector<std::string>> private_metadata(const std::filesystem::path& path);
Result<std::vector<std::string>> private_metadata_of(std::span<const std::byte> bytes, const std::string& name);

// The picture with each rectangle (upright pixels) filled flat dark grey. What lies outside is clipped; a
// rectangle that covers no pixel is a Problem: something meant to be hidden would still be seen.
Result<Raster> covered(Raster raster, const std::vector<PixelRect>& rects);

// A scrubbed copy with the rectangles (upright pixels) filled flat dark grey in the pixels themselves. JPEG: only the
// blocks that a rectangle touches are changed (8 to 16 pixels a side, so a little more is covered), everything else
// keeps its coefficients; PNG: exact. Other formats are written anew as JPEG. Nothing of what was covered is left in
// the file. A rectangle that covers no pixel is a Problem.
Result<std::string> covered_bytes(std::span<const std::byte> bytes, const std::vector<PixelRect>& rects, const std::string& name);

// The same from file to file. Both paths may be the same.
Result<Done> cover_region(const std::filesystem::path& path_in, const std::vector<PixelRect>& rects,
                          const std::filesystem::path& path_out);

}  // namespace boardlore
