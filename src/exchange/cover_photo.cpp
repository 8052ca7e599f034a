#include "exchange/cover_photo.h"

#include <algorithm>

#include "pictures/picture_bytes.h"
#include "pictures/scrub.h"
#include "storage/file_bytes.h"

namespace boardlore {
namespace {

namespace fs = std::filesystem;

// "top.jpg" -> "top-covered.jpg", "top-covered-2.jpg": free in the folder and among what was put aside.
std::string covered_name(const fs::path& dir, const std::string& file, bool png) {
  std::string stem = fs::path(file).stem().string();
  if (const auto at = stem.rfind("-covered"); at != std::string::npos) stem.resize(at);
  std::error_code ignored;
  for (int n = 1;; ++n) {
    const std::string name = stem + "-covered" + (n == 1 ? "" : "-" + std::to_string(n)) + (png ? ".png" : ".jpg");
    if (!fs::exists(dir / name, ignored) && !fs::exists(dir / uncovered_folder / name, ignored)) return name;
  }
}

}  // namespace

Result<Photo> cover_photo(Folder& folder, const Id& id, const std::vector<PixelRect>& rects) {
  if (folder.is_job())
    return Problem{folder.dir().string(), "", "a board's folder: its reference photos are what is shared", "a job's folder, whose photos are evidence and stay as taken"};
  const std::vector<Photo>& photos = folder.now().layer->photos;
  const auto found = std::find_if(photos.begin(), photos.end(), [&](const Photo& photo) { return photo.id == id; });
  if (found == photos.end()) return Problem{folder.dir().string(), "photo", "a photo of the board", "none of id " + id.text};
  if (rects.empty()) return Problem{found->file, "region", "a region to cover", "none"};
  const fs::path source = folder.photo_path(*found);
  const auto bytes = read_picture_bytes(source);
  if (!bytes) return bytes.problem();
  const Result<std::string> covered = covered_bytes(*bytes, rects, source.string());
  if (!covered) return covered.problem();

  Photo photo = *found;
  const std::string old_file = photo.file;
  photo.file = covered_name(folder.dir(), old_file, covered->starts_with("\x89PNG"));
  photo.sha256 = sha256_hex(*covered);
  if (Result<Done> written = write_file_atomically(folder.dir() / photo.file, *covered); !written) return written.problem();
  if (Result<Done> done = folder.commit(PutPhoto{photo, false}); !done) {
    std::error_code ignored;
    fs::remove(folder.dir() / photo.file, ignored);
    return done.problem();
  }
  // Out of the way of whoever copies the folder; where that fails the picture stays and `privacy` names it.
  std::error_code error;
  const fs::path aside = folder.dir() / uncovered_folder;
  fs::create_directory(aside, error);
  if (source.parent_path() == folder.dir() && !fs::exists(aside / old_file, error)) fs::rename(source, aside / old_file, error);
  return photo;
}

}  // namespace boardlore
