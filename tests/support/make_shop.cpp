// make_shop DIR [JOBS]: a shop of invented boards and jobs; 30,000 jobs and a million readings without a number.
#include <cstdio>
#include <algorithm>
#include <cstdlib>

#include "support/shop_maker.h"

int main(int argc, char** argv) {
  if (argc < 2) return std::fputs("make_shop DIR [JOBS]\n", stderr), 2;
  boardlore::ShopSize size = boardlore::old_shop;
  if (argc > 2) size.jobs = std::max(0, std::atoi(argv[2])), size.boards = std::max(1, size.jobs / 60);
  const boardlore::ShopMade made = boardlore::make_shop(argv[1], size);
  std::printf("%zu documents, %.1f MB\n", made.files, static_cast<double>(made.bytes) / 1e6);
  return 0;
}
