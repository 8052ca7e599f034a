// draw --close-up as a person runs it: one part cut out of its photo, and what is refused.
#include <doctest/doctest.h>

#include "pictures/photo_file.h"
#include "support/command_bench.h"

using namespace boardlore;

TEST_CASE("draw --close-up writes one part of the photo, and refuses what is not on it") {
  const CommandBench bench;
  const std::string board = (places::source_dir() / "boards/brackenwick-gc12").string(), out = (bench.tmp.path / "u1.png").string();
  const auto answer = bench.asked("draw " + board + " --photo top.jpg --close-up U1 -o " + out);
  const Result<Raster> cut = decode_full(out);
  REQUIRE(bool(cut));
  CHECK(answer["width_px"] == cut->width_px);
  // U1's body is 7 x 7 mm, the photo has 15.4 px a mm in its middle, the margin is 4 mm a side: some 230 px.
  CHECK(cut->width_px > 180);
  CHECK(cut->width_px < 320);
  bench.refuses("draw " + board + " --photo top.jpg --close-up U99 -o " + out, "U99");
  bench.refuses("draw " + board + " --photo bottom.jpg --close-up U1 -o " + out, "--close-up");
}
