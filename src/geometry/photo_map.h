// A registration put to use: where on the board a pixel lies, where in the photo a board point lies, and how
// far either answer can be off there.
//
// The error grows away from the fiducials, so one number for a photo is not honest. The covariance of the
// map's parameters (from the fiducials' places and the scatter about the fit) is carried to the point asked.
#pragma once

#include "domain/problem.h"
#include "domain/registration.h"
#include "geometry/small_matrix.h"

namespace boardlore {

class PhotoMap {
 public:
  // Refuses a singular or not finite map.
  static Result<PhotoMap> from(const Registration& registration);

  // nullopt: beyond the horizon, or where the lens term cannot be turned back.
  std::optional<BoardPoint> board_from(PhotoPoint photo) const;
  std::optional<PhotoPoint> photo_from(BoardPoint board) const;

  // Distance within which the true place lies 95 times in 100:
  //   sqrt(chi2 / 2 * s^2 * trace(J C J^T)) + model, chi2 = 5.991 (2 degrees of freedom, 95 %);
  //   C = (sum J_i^T J_i)^-1 over the fiducials, J = d(board)/d(parameters) at the point;
  //   s^2 = (sum of squared residuals + 2 * s0^2) / (2 n - p + 2), so that with no point to spare a pick error
  //   of 2 px (s0) stands in, and with many points their own scatter decides;
  //   model = 1 % (affine) or 3 % (similarity) of the distance to the nearest fiducial, for the perspective
  //   that those cannot follow (common practice, no source).
  // Without fiducials (an automatic registration that kept none) it is 1.73 times the larger of RMS and
  // leave-one-out. It knows nothing of a fiducial whose place on the board is wrong in a way that fits.
  double error_mm(BoardPoint board) const;

  double px_per_mm(BoardPoint board) const;  // 0: beyond the horizon
  // How the board is turned in the photo there: clockwise on the screen from "board y points up"; -pi to pi.
  double board_turn_rad(BoardPoint board) const;

  bool mirrored() const { return registration_.mirrored; }
  const Registration& registration() const { return registration_; }

 private:
  explicit PhotoMap(Registration registration, PhotoFromBoard photo_from_board);
  void prepare_error();
  double w_sign(PhotoPoint straight) const;
  std::optional<PhotoPoint> straight_from(BoardPoint board) const;

  Registration registration_;
  PhotoFromBoard photo_from_board_;
  std::optional<SmallMatrix> covariance_mm2_;  // of the parameters, in a plane moved and scaled as below
  double centre_x_px_ = 0, centre_y_px_ = 0, scale_ = 1;
  std::array<double, 9> moved_map_{};
};

}  // namespace boardlore
