// How a photo lies on the board: the map, what it was made from, and how far it can be trusted.
#pragma once

#include <string>

#include "domain/frames.h"
#include "domain/id.h"

namespace boardlore {

// Written to files as "homography", "affine", "similarity".
enum class MapModel { homography, affine, similarity };
// Written to files as "by-hand", "automatic".
enum class MapMethod { by_hand, automatic };

// A point whose place is known in both frames.
struct Fiducial {
  PhotoPoint photo;
  BoardPoint board;
  std::string name;  // "upper left hole"; may be empty
  Unknown unknown;
  bool operator==(const Fiducial&) const = default;
};

// One radial term (Brown-Conrady): with r the distance from the picture's centre over half its diagonal,
// a point of the straight picture at r is seen at r * (1 + k1 * r^2). k1 < 0: barrel.
struct LensTerm {
  double k1 = 0;
  double centre_x_px = 0, centre_y_px = 0;
  double half_diagonal_px = 1;
  bool operator==(const LensTerm&) const = default;
};

struct Registration {
  MapModel model = MapModel::homography;
  MapMethod method = MapMethod::by_hand;
  BoardFromPhoto board_from_photo;  // takes points of the straight picture where there is a lens term
  std::optional<LensTerm> lens;
  std::vector<Fiducial> fiducials;
  bool mirrored = false;                    // the photo shows the bottom side
  double rms_mm = 0;                        // sqrt(sum of squared residuals / points); 0 for a bare fit
  std::optional<double> leave_one_out_mm;   // nullopt: no point to spare
  double px_per_mm = 0;                     // at the middle of the fiducials
  std::string onto;                         // automatic: the photo it was found on
  std::optional<double> confidence;         // automatic: 0 to 1
  Unknown unknown;
  bool operator==(const Registration&) const = default;
};

}  // namespace boardlore
