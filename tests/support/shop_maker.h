// A shop of any size on disk: boards, jobs with readings and rework, written as Boardlore writes them. For benchmarks
// and for tests of the shop index; the same numbers give the same shop.
#pragma once

#include <filesystem>

namespace boardlore {

struct ShopSize {
  int jobs = 2000;
  int boards = 33;
  int readings_a_job = 33;
  int marks_a_board = 60;
};
// A shop after years: 30,000 jobs on 500 boards with a million readings.
constexpr ShopSize old_shop{30'000, 500, 34, 60};

struct ShopMade {
  std::size_t files = 0, bytes = 0;
};
ShopMade make_shop(const std::filesystem::path& dir, const ShopSize& size);

}  // namespace boardlore
