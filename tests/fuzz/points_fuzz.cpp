// Law: whatever the bytes, a points file gives points or a Problem; points written can be read and are the same.
#include <cstdint>
#include <cstdio>
#include <cstdlib>

#include "storage/points_file.h"

using namespace boardlore;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto points = read_points(std::string_view(reinterpret_cast<const char*>(data), size), "fuzz");
  if (!points) return 0;
  const auto again = read_points(write_points(*points), "written");
  if (!again || write_points(*again) != write_points(*points)) {
    std::fprintf(stderr, "broken: points written can be read and are the same\n");
    std::abort();
  }
  return 0;
}
