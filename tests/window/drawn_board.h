// What the program that drew the demo's pictures knows of them (boards/brackenwick-gc12/later-unit/truth.json):
// the outside witness of where things lie.
#pragma once

#include <doctest/doctest.h>

#include <fstream>
#include <nlohmann/json.hpp>

#include "geometry/photo_map.h"
#include "support/places.h"

namespace boardlore {

inline std::filesystem::path demo_board() { return places::source_dir() / "boards" / "brackenwick-gc12"; }

inline nlohmann::json drawn_truth() {
  std::ifstream in(demo_board() / "later-unit" / "truth.json");
  return nlohmann::json::parse(in);
}

// photo_from_board of one of the drawn photos.
inline PhotoFromBoard drawn_map(const std::string& file) {
  PhotoFromBoard map;
  bool found = false;
  const nlohmann::json truth = drawn_truth();
  for (const auto& photo : truth["photos"])
    if (std::filesystem::path(photo["file"].get<std::string>()).filename() == file) {
      for (std::size_t i = 0; i < 9; ++i) map.rows[i] = photo["photo_from_board"][i];
      found = true;
    }
  REQUIRE(found);
  return map;
}

}  // namespace boardlore
