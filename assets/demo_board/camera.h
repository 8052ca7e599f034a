// Where a point of the board lands in a photo. A pinhole camera looks at the board from a
// chosen tilt; points in the board plane then map by a homography (photo_from_board), and
// points on top of a body by the full projection.
// Frames: board frame mm (x right, y up, origin lower left seen from the top, shared by both
// sides); photo px (x right, y down, centre of the first pixel at 0.5, 0.5).
#pragma once
#include <array>

namespace demo_board {

struct Point {
  double x = 0.0;
  double y = 0.0;
};

struct Solid {  // height_mm grows away from the board on the side that is looked at
  double x = 0.0;
  double y = 0.0;
  double height_mm = 0.0;
};

enum class Side { top, bottom };

struct CameraPose {
  Side side = Side::top;
  int width_px = 2600;
  int height_px = 1900;
  double roll_deg = 0.0;        // turn of the board in the picture
  double tilt_deg = 0.0;        // away from looking straight down
  double tilt_axis_deg = 0.0;   // which way it leans
  double distance_mm = 420.0;
  double focal_px = 6000.0;
  Point shift_px;               // board centre relative to the picture's centre
};

class Camera {
 public:
  explicit Camera(const CameraPose& pose);
  Point photo_px(const Solid& at_mm) const;
  Point board_mm(Point photo_px) const;               // back onto the board plane
  Point board_mm(Point photo_px, double height_mm) const;
  Point view_from_board(Point board_mm) const;        // as the side is seen: x mirrored for bottom
  Solid eye_mm() const;                               // where the camera is, board frame
  const std::array<double, 9>& photo_from_board() const { return photo_from_board_; }
  const CameraPose& pose() const { return pose_; }
  double px_per_mm() const { return pose_.focal_px / pose_.distance_mm; }

 private:
  CameraPose pose_;
  std::array<double, 9> turn_{};
  std::array<double, 9> photo_from_board_{};
  std::array<double, 9> board_from_photo_{};
};

}  // namespace demo_board
