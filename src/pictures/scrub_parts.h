// What the scrubbing of the single formats shares. Not for other rooms; see scrub.h.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "domain/problem.h"
#include "pictures/raster.h"

namespace boardlore {

Result<std::string> scrubbed_jpeg(std::span<const std::byte> bytes, const std::string& name);
Result<std::vector<std::string>> private_in_jpeg(std::span<const std::byte> bytes, const std::string& name);
Result<std::string> scrubbed_png(std::span<const std::byte> bytes, const std::string& name);
Result<std::vector<std::string>> private_in_png(std::span<const std::byte> bytes, const std::string& name);

// `png` with the colour profile (iCCP) that `other` has, if any.
Result<std::string> with_profile_of(const std::string& png, const std::string& other, const std::string& name);

// Blocks that a rectangle (pixels as stored) touches become flat grey, of every component; all others keep their
// coefficients. A progressive JPEG comes out as one of a single pass.
Result<std::string> jpeg_with_blocks_covered(const std::string& jpeg, const std::vector<PixelRect>& rects, int grey,
                                             const std::string& name);

// A TIFF block that holds Orientation and nothing else.
std::string exif_block_with(int orientation);

// As long as its first four bytes say, signature "acsp" at byte 36 (ICC.1, section 7.2).
bool is_icc_profile(const std::string& bytes);

// A decoder skips bytes that it does not need at the end of a scan; where a JPEG has such bytes its
// coefficients are written anew, losslessly, and the bytes are gone. Also proves that the copy decodes.
Result<std::string> without_bytes_hidden_in_scans(const std::string& jpeg, const std::string& name);

// A list without repeats, in order of finding.
class Findings {
 public:
  void add(std::string what);
  // Every field of a TIFF block but Orientation, by group of what it gives away.
  void add_exif(std::span<const std::byte> block);
  std::vector<std::string> list() && { return std::move(list_); }

 private:
  std::vector<std::string> list_;
};

}  // namespace boardlore
