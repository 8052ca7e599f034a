// A region of a board's reference photo covered in the pixels: a label with a serial number, a name.
//
// What is laid over a picture can be lifted again by whoever gets it. So the board's folder gets a new file in which the
// pixels are gone, under a new name, and the layer names that one; the picture as it was goes to `.uncovered/` beside
// it, which is never exported and which `git-setup` keeps out of a repository. To undo is to name the old file again.
#pragma once

#include "pictures/raster.h"
#include "storage/folder.h"

namespace boardlore {

// Files in it are found by Folder::photo_path where the folder itself has them no longer.
inline constexpr const char* uncovered_folder = ".uncovered";

// One step to undo; the caller saves. A job's photos are evidence and are never covered: a Problem.
Result<Photo> cover_photo(Folder& folder, const Id& photo, const std::vector<PixelRect>& rects);

}  // namespace boardlore
