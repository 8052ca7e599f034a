// A photo of one side of the board: the file, what it shows, and how it lies on the board.
#pragma once

#include <string>

#include "domain/registration.h"

namespace boardlore {

// When in the job a photo was taken. Written to files by name.
enum class PhotoStage { intake, before, during, after };

struct Photo {
  Id id;
  std::string file;  // name inside the folder ("photos/IMG_1.jpg" in a job); never leaves the folder
  std::string sha256;
  Side side = Side::top;
  std::optional<PhotoStage> stage;  // reference photos of a board have none
  std::optional<Timestamp> captured_at;
  std::string captured_offset;      // "+01:00" as the camera wrote it; empty: not known
  std::optional<Timestamp> added_at;
  int width_px = 0, height_px = 0;  // upright, after the Exif orientation
  std::string note;
  std::vector<Id> linked;           // marks and actions it shows
  std::optional<std::array<double, 4>> crop_px;  // x, y, width, height in the record only
  double turn_deg = 0;                           // in the record only, clockwise
  std::optional<Registration> registration;
  Unknown unknown;
  bool operator==(const Photo&) const = default;
};

}  // namespace boardlore
