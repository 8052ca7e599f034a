#include "pictures/jpeg_segments.h"

#include <cstring>

namespace boardlore {
namespace {

constexpr std::uint8_t kSoi = 0xD8, kEoi = 0xD9, kSos = 0xDA, kTem = 0x01;

bool is_restart(unsigned marker) { return marker >= 0xD0 && marker <= 0xD7; }

class Walk {
 public:
  explicit Walk(std::span<const std::byte> bytes) : bytes_(bytes) {}

  std::size_t position() const { return at_; }
  const char* expected = "";
  const char* found = "";

  // False: nothing further can be read; expected and found say why.
  bool next(JpegSegment& segment) {
    if (at_ >= bytes_.size()) return refuse("a JPEG marker", kEndsEarly);
    if (byte(at_) != 0xFF) return refuse("a JPEG marker", "other bytes");
    while (at_ + 1 < bytes_.size() && byte(at_ + 1) == 0xFF) ++at_;  // fill bytes, T.81 B.1.1.2
    if (at_ + 1 >= bytes_.size()) return refuse("a JPEG marker", kEndsEarly);
    segment = {};
    segment.at = at_;
    segment.marker = static_cast<std::uint8_t>(byte(at_ + 1));
    if (segment.marker == 0) return refuse("a JPEG marker", "scan data outside a scan");
    at_ += 2;
    if (segment.marker == kSoi || segment.marker == kEoi || segment.marker == kTem || is_restart(segment.marker)) return true;
    if (bytes_.size() - at_ < 2) return refuse("the length of a JPEG segment", kEndsEarly);
    const std::size_t length = byte(at_) << 8 | byte(at_ + 1);
    if (length < 2) return refuse("a segment length of 2 or more", "less");
    if (length > bytes_.size() - at_) return refuse("a JPEG segment within the file", kEndsEarly);
    segment.data = bytes_.subspan(at_ + 2, length - 2);
    at_ += length;
    if (segment.marker == kSos) segment.scan = scan_data();
    return true;
  }

  std::span<const std::byte> rest() const { return bytes_.subspan(at_); }

 private:
  static constexpr const char* kEndsEarly = "the file ends early (it was cut off, or is still being copied)";

  unsigned byte(std::size_t at) const { return std::to_integer<unsigned>(bytes_[at]); }

  bool refuse(const char* what_was_expected, const char* what_was_found) {
    expected = what_was_expected;
    found = what_was_found;
    return false;
  }

  // Up to the next marker that is neither a stuffed zero nor a restart.
  std::span<const std::byte> scan_data() {
    const std::size_t start = at_;
    while (at_ < bytes_.size()) {
      const void* hit = std::memchr(bytes_.data() + at_, 0xFF, bytes_.size() - at_);
      if (hit == nullptr) break;
      at_ = static_cast<std::size_t>(static_cast<const std::byte*>(hit) - bytes_.data());
      if (at_ + 1 >= bytes_.size()) break;
      const unsigned after = byte(at_ + 1);
      if (after != 0 && after != 0xFF && !is_restart(after)) return bytes_.subspan(start, at_ - start);
      at_ += after == 0xFF ? 1 : 2;
    }
    at_ = bytes_.size();
    return bytes_.subspan(start);
  }

  std::span<const std::byte> bytes_;
  std::size_t at_ = 0;
};

}  // namespace

bool JpegSegment::starts_with(std::string_view text) const {
  return data.size() >= text.size() && std::memcmp(data.data(), text.data(), text.size()) == 0;
}

Result<JpegSegments> jpeg_segments(std::span<const std::byte> bytes, const std::string& name) {
  JpegSegments all;
  Walk walk(bytes);
  do {
    JpegSegment segment;
    if (!walk.next(segment))
      return Problem{name, "byte " + std::to_string(walk.position()), walk.expected, walk.found};
    if (all.segments.empty() && segment.marker != kSoi)
      return Problem{name, "byte 0", "the start marker of a JPEG", "another marker"};
    all.segments.push_back(segment);
  } while (all.segments.back().marker != kEoi);
  all.trailing = walk.rest();
  return all;
}

std::vector<JpegSegment> jpeg_header_segments(std::span<const std::byte> bytes) {
  std::vector<JpegSegment> segments;
  Walk walk(bytes);
  JpegSegment segment;
  while (walk.next(segment) && segment.marker != kEoi && segment.marker != kSos) segments.push_back(segment);
  return segments;
}

}  // namespace boardlore
