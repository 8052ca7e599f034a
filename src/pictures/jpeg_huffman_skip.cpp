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
    while (run.end_of_block == 0) {
      const unsigned left = kRunBits - run.bits;
      const Code code = codes_[(window << (16 - kRunBits) << run.bits) & 0xFFFF];
      const unsigned zeros = code.symbol >> 4, size = code.symbol & 15u;
      if (code.length == 0 || code.length + size > left || run.coefficients + zeros + 1 > 63) break;
      run.bits = (run.bits + code.length + size) & 15;  // 13 at most
      if (code.symbol == 0)
        run.end_of_block = 1;
      else
        run.coefficients = (run.coefficients + zeros + 1) & 63;
    }
  }
  return true;
}

bool SkipTable::skip_block(ScanBits& shared) const {
  // A copy lives in registers; through the reference each step would go by way of memory.
  ScanBits bits = shared;
  unsigned read = 0;
  bool whole = false;
  for (;;) {
    bits.refill();
    const Run run = runs_[bits.peek(kRunBits)];
    const unsigned after = read + run.coefficients;
    // A full block has no end mark: what follows its last coefficient is the next block's.
    if (run.bits != 0 && after < 63) {
      bits.drop(run.bits);
      read = after;
      if (run.end_of_block == 0) continue;
      whole = true;
      break;
    }
    const int one = symbol(bits);
    whole = one == 0;
    if (one <= 0) break;
    bits.drop(static_cast<unsigned>(one & 15));  // 16 + 15 bits at most: still there
    read += static_cast<unsigned>(one >> 4) + 1;
    if (read < 63) continue;
    whole = read == 63;
    break;
  }
  shared = bits;
  return whole;
}

}  // namespace boardlore
