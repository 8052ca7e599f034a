#include "pictures/jpeg_huffman_skip.h"

#include <algorithm>

namespace boardlore {

bool SkipTable::build(std::span<const std::byte, 16> counts, std::span<const std::byte> symbols) {
  codes_.assign(1 << 16, {});
  // Annex C: codes of one length are consecutive; the next length starts at twice the next code.
  std::uint32_t next = 0;
  std::size_t index = 0;
  for (unsigned length = 1; length <= 16; ++length) {
    for (unsigned i = 0; i < std::to_integer<unsigned>(counts[length - 1]); ++i, ++next, ++index) {
      if (next >= 1u << length || index >= symbols.size()) return codes_.clear(), false;
      const Code code{static_cast<std::uint8_t>(length), std::to_integer<std::uint8_t>(symbols[index])};
      const std::uint32_t first = next << (16 - length);
      std::fill_n(codes_.begin() + first, std::size_t{1} << (16 - length), code);
    }
    next <<= 1;
  }
  for (std::uint32_t window = 0; window < runs_.size(); ++window) {
    Run& run = runs_[window];
    run = {};
    while (!run.end_of_block) {
      const unsigned left = kRunBits - run.bits;
      const Code code = codes_[(window << (16 - kRunBits) << run.bits) & 0xFFFF];
      const unsigned zeros = code.symbol >> 4, size = code.symbol & 15u;
      if (code.length == 0 || code.length + size > left || run.coefficients + zeros + 1 > 63) break;
      run.bits = static_cast<std::uint8_t>(run.bits + code.length + size);
      if (code.symbol == 0)
        run.end_of_block = true;
      else
        run.coefficients = static_cast<std::uint8_t>(run.coefficients + zeros + 1);
    }
  }
  return true;
}

bool SkipTable::skip_block(ScanBits& bits) const {
  unsigned read = 0;
  while (read < 63) {
    bits.refill();
    const Run run = runs_[bits.peek(kRunBits)];
    const unsigned after = read + run.coefficients;
    // A full block has no end mark: what follows its last coefficient is the next block's.
    if (run.bits != 0 && (after < 63 || (after == 63 && !run.end_of_block))) {
      bits.drop(run.bits);
      if (run.end_of_block) return true;
      read = after;
      continue;
    }
    const int one = symbol(bits);
    if (one < 0) return false;
    if (one == 0) return true;
    bits.drop(static_cast<unsigned>(one & 15));  // 16 + 15 bits at most: still there
    read += static_cast<unsigned>(one >> 4) + 1;
  }
  return read == 63;
}

}  // namespace boardlore
