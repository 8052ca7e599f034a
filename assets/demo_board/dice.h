// Pseudo-random numbers that are the same on every machine and in every run: the standard
// distributions may differ between libraries, so the few that are needed are written out.
// Generator: splitmix64 (Steele, Lea, Flood 2014).
#pragma once
#include <cmath>
#include <cstdint>
#include <string_view>

namespace demo_board {

class Dice {
 public:
  explicit Dice(std::uint64_t seed) : state_(seed) {}
  std::uint64_t next() {
    std::uint64_t z = (state_ += 0x9e3779b97f4a7c15ULL);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
    return z ^ (z >> 31);
  }
  double between(double low, double high) {
    return low + (high - low) * static_cast<double>(next() >> 11) * 0x1.0p-53;
  }
  int below(int n) { return static_cast<int>(next() % static_cast<std::uint64_t>(n)); }
  // Sum of uniforms: close enough to a bell curve for sensor noise, and exact everywhere.
  double bell() {
    double sum = 0.0;
    for (int i = 0; i < 4; ++i) sum += between(-1.0, 1.0);
    return sum * 0.866;
  }

 private:
  std::uint64_t state_;
};

inline std::uint64_t seed_of(std::string_view words, std::uint64_t salt) {
  std::uint64_t h = 1469598103934665603ULL ^ (salt * 0x9e3779b97f4a7c15ULL);
  for (char c : words) h = (h ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
  return h;
}

}  // namespace demo_board
