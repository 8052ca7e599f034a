// How a photo lies on the board, fitted to many correspondences of which a part is wrong.
//
// A technician's few picks are all meant; a machine's hundreds are not: some sit on top of tall parts, on
// a sticker, on a part that was exchanged. The map of the board's plane is found by iteratively
// reweighted least squares (Tukey's biweight) on the distance in the photo, started from a consensus.
// One radial lens term joins only where the points support it: it must lower the Bayesian information
// criterion (Schwarz 1978), stand clear of its own standard error, and be seen far from the centre too.
#pragma once

#include <optional>
#include <vector>

#include "domain/registration.h"

namespace boardlore {

// Where the same spot lies in the photo and on the board.
struct Correspondence {
  PhotoPoint photo;
  BoardPoint board;
};

struct BoardMap {
  BoardFromPhoto board_from_photo;      // of the straight picture where there is a lens term
  PhotoFromBoard photo_from_board;      // its inverse
  std::optional<LensTerm> lens;

  std::optional<BoardPoint> board(PhotoPoint seen) const;
  std::optional<PhotoPoint> photo(BoardPoint point) const;
};

BoardMap board_map_of(const Registration& registration);

struct BoardMapFit {
  BoardMap map;
  std::vector<char> fits;          // one a correspondence
  int fit_count = 0;
  double rms_px = 0, rms_mm = 0;   // over those that fit
  std::optional<double> leave_out_mm;  // RMS at places left out of the fit, whole patches of the board at a time
};

struct BoardMapOptions {
  int width_px = 0, height_px = 0;   // of the photo: centre and half diagonal of the lens term
  bool try_lens = true;
  double consensus_px = 3;           // how far from the first map a point may be to count
  double floor_px = 0.25;            // the spread below which points are not told apart
};

// nullopt: fewer than six points agree, or they lie on a line.
std::optional<BoardMapFit> fit_board_map(const std::vector<Correspondence>& points, const BoardMapOptions& options);

}  // namespace boardlore
