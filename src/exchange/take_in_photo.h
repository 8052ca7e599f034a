// A photo from outside into a folder: as taken, with its hash and capture time, into a job; scrubbed of
// private metadata into a board (JPEG and PNG bit by bit; HEIC and others written anew as JPEG).
#pragma once

#include <filesystem>

#include "pictures/photo_file.h"
#include "storage/folder.h"

namespace boardlore {

// Copies the file and commits the edit (the caller saves). A photo that is there already (same hash) is
// refused as a finding. The name is made safe and, where taken, numbered on; the source is never changed.
Result<Photo> take_in_photo(Folder& folder, const std::filesystem::path& source, Side side, std::optional<PhotoStage> stage);

// The part that may run off the frame: looks at the file, copies it, makes the value; touches no document.
struct PhotoTakingIn {
  std::filesystem::path dir;   // the folder
  bool job = true;             // as taken, into photos/
  std::filesystem::path source;
  Side side = Side::top;
  std::optional<PhotoStage> stage;
  std::vector<std::string> known_sha256;
};
Result<Photo> copy_photo(const PhotoTakingIn& taking, Id id, Timestamp now);

}  // namespace boardlore
