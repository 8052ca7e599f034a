// Reading Huffman-coded JPEG blocks (ITU-T T.81, annexes C and F) for their mean only.
#pragma once

#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <span>
#include <vector>

namespace boardlore {

// Bits of a scan, stuffed zeros taken out. Stops before a marker and gives zeros from there on.
class ScanBits {
 public:
  explicit ScanBits(std::span<const std::byte> scan) : at_(scan.data()), end_(scan.data() + scan.size()) {}

  // At least 32 bits are there afterwards.
  void refill() {
    if (count_ > 32) return;
    if (end_ - at_ >= 4) {
      std::uint32_t word;
      std::memcpy(&word, at_, 4);
      // Any byte 0xFF? (x & 0x80..) of the bytes that are all ones: the classic zero-byte test on ~x.
      const std::uint32_t inverted = ~word;
      if (((inverted - 0x01010101u) & ~inverted & 0x80808080u) == 0) {
        if constexpr (std::endian::native == std::endian::little) word = __builtin_bswap32(word);
        buffer_ |= static_cast<std::uint64_t>(word) << (32 - count_);
        count_ += 32;
        at_ += 4;
        return;
      }
    }
    while (count_ <= 56) add_byte();
  }
  std::uint32_t peek(unsigned bits) const { return static_cast<std::uint32_t>(buffer_ >> (64 - bits)); }
  void drop(unsigned bits) {
    buffer_ <<= bits;
    count_ -= static_cast<int>(bits);
  }
  // More was read than there is.
  bool overrun() const { return count_ < invented_; }
  // To behind the next restart marker; false: there is none here.
  bool restart() {
    if (end_ - at_ < 2 || at_[0] != std::byte{0xFF} || (at_[1] & std::byte{0xF8}) != std::byte{0xD0}) return false;
    at_ += 2;
    buffer_ = 0;
    count_ = invented_ = 0;
    return true;
  }

 private:
  void add_byte() {
    std::uint64_t byte = 0;
    if (at_ < end_ && (*at_ != std::byte{0xFF} || (at_ + 1 < end_ && at_[1] == std::byte{0}))) {
      byte = std::to_integer<std::uint64_t>(*at_);
      at_ += byte == 0xFF ? 2 : 1;
    } else {
      invented_ += 8;
    }
    buffer_ |= byte << (56 - count_);
    count_ += 8;
  }

  const std::byte *at_, *end_;
  std::uint64_t buffer_ = 0;  // the next bit is the highest
  int count_ = 0, invented_ = 0;
};

// One Huffman table of a JPEG.
class SkipTable {
 public:
  // The 16 counts and the symbols of a DHT segment; false: not a code.
  bool build(std::span<const std::byte, 16> counts, std::span<const std::byte> symbols);
  bool built() const { return !codes_.empty(); }

  // Next symbol; -1: no such code. At least 16 bits must be there.
  int symbol(ScanBits& bits) const {
    const Code code = codes_[bits.peek(16)];
    if (code.length == 0) return -1;
    bits.drop(code.length);
    return code.symbol;
  }
  // Passes over the 63 further coefficients of a block; false: damaged.
  bool skip_block(ScanBits& bits) const;

 private:
  struct Code {
    std::uint8_t length = 0, symbol = 0;
  };
  // What whole coefficients lie in the next 13 bits. Two bytes, so that both tables of a photo (16 KB each)
  // stay in the first-level cache.
  struct Run {
    std::uint16_t bits : 4 = 0;          // 0: not even one
    std::uint16_t coefficients : 6 = 0;  // zeros included
    std::uint16_t end_of_block : 1 = 0;
  };
  static constexpr unsigned kRunBits = 13;
  std::vector<Code> codes_;  // by the next 16 bits
  std::array<Run, 1 << kRunBits> runs_{};
};

}  // namespace boardlore
