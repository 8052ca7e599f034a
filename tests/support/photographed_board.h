// A board without a single mark, made through the command line: the demo's top photo, or a piece of it, laid on the
// board by points that the program which drew it knows.
#pragma once

#include <doctest/doctest.h>

#include <fstream>
#include <nlohmann/json.hpp>

#include "geometry/photo_map.h"
#include "pictures/encode.h"
#include "pictures/photo_file.h"
#include "support/places.h"
#include "support/run_program.h"
#include "window/drawn_board.h"

namespace boardlore {

// Of the board, seen from the top.
struct BoardPiece {
  double left_mm = 0, bottom_mm = 0, right_mm = 0, top_mm = 0;
};

struct PhotographedBoard {
  std::filesystem::path dir;
  int x0_px = 0, y0_px = 0;                // where the piece begins in the drawn photo
  double left_mm = 0, bottom_mm = 0;       // and on the drawn board: this board is that piece
  PhotoPoint photo_from(BoardPoint at) const {
    const auto drawn = drawn_map("top.jpg")(BoardPoint{at.x_mm + left_mm, at.y_mm + bottom_mm});
    REQUIRE(drawn);
    return {drawn->x_px - x0_px, drawn->y_px - y0_px};
  }
};

inline Raster piece_of(const Raster& whole, int x0, int y0, int width, int height) {
  Raster piece;
  piece.width_px = width, piece.height_px = height;
  for (int y = 0; y < height; ++y) {
    const auto row = whole.rgba.begin() + (static_cast<std::ptrdiff_t>(y0 + y) * whole.width_px + x0) * 4;
    piece.rgba.insert(piece.rgba.end(), row, row + static_cast<std::ptrdiff_t>(width) * 4);
  }
  return piece;
}

// The whole board, or (`piece`) a smaller one that is cut out of it. Its photo is not laid on it where `registered` is false.
inline PhotographedBoard photograph_board(const std::filesystem::path& dir, std::optional<BoardPiece> piece = {}, bool registered = true) {
  PhotographedBoard made{dir};
  if (piece) made.left_mm = piece->left_mm, made.bottom_mm = piece->bottom_mm;
  const double width_mm = piece ? piece->right_mm - piece->left_mm : 148, height_mm = piece ? piece->top_mm - piece->bottom_mm : 96;
  const auto must = [](const std::string& arguments) {
    const RunResult result = run_boardlore(arguments);
    INFO(arguments);
    INFO(result.output);
    REQUIRE(result.exit_code == 0);
  };
  must("new board " + shell_quoted(dir.string()) + " --maker Brackenwick --model GC-12 --revision C --size " + std::to_string(width_mm) + "x" + std::to_string(height_mm));
  std::filesystem::path photo = demo_board() / "top.jpg";
  if (piece) {
    double left = 1e9, right = 0, above = 1e9, below = 0;
    for (const BoardPoint corner : {BoardPoint{0, 0}, {width_mm, 0}, {0, height_mm}, {width_mm, height_mm}}) {
      const PhotoPoint at = made.photo_from(corner);
      left = std::min(left, at.x_px), right = std::max(right, at.x_px), above = std::min(above, at.y_px), below = std::max(below, at.y_px);
    }
    const auto whole = decode_full(photo);
    REQUIRE(whole);
    made.x0_px = static_cast<int>(left), made.y0_px = static_cast<int>(above);
    photo = dir.parent_path() / "piece.png";
    REQUIRE(write_png(photo, piece_of(*whole, made.x0_px, made.y0_px, static_cast<int>(right - left), static_cast<int>(below - above))));
  }
  must("photo add " + shell_quoted(dir.string()) + " " + shell_quoted(photo.string()) + " --side top");
  if (!registered) return made;
  nlohmann::json points = nlohmann::json::array();
  const double inset = piece ? 1 : 6;
  for (const BoardPoint at : {BoardPoint{inset, inset}, {width_mm - inset, inset}, {inset, height_mm - inset}, {width_mm - inset, height_mm - inset},
                              {width_mm / 2, height_mm / 2}, {width_mm / 2, height_mm - 2 * inset}}) {
    const PhotoPoint in_photo = made.photo_from(at);
    points.push_back({{"photo_px", {in_photo.x_px, in_photo.y_px}}, {"board_mm", {at.x_mm, at.y_mm}}});
  }
  const auto file = dir.parent_path() / "points.json";
  std::ofstream(file) << points;
  must("register " + shell_quoted(dir.string()) + " " + shell_quoted(photo.filename().string()) + " --points " + shell_quoted(file.string()));
  return made;
}

}  // namespace boardlore
