#include "exchange/take_in_photo.h"

#include <algorithm>

#include "pictures/encode.h"
#include "pictures/scrub.h"
#include "storage/file_bytes.h"
#include "storage/safe_name.h"

namespace boardlore {
namespace {

namespace fs = std::filesystem;

// The name, or the name with a number before its ending, that is not in the folder yet.
fs::path free_name(const fs::path& folder, const std::string& name) {
  std::error_code ignored;
  const fs::path wanted(name);
  for (int n = 1;; ++n) {
    const std::string candidate = n == 1 ? name : wanted.stem().string() + "-" + std::to_string(n) + wanted.extension().string();
    if (!fs::exists(folder / candidate, ignored)) return candidate;
  }
}

}  // namespace

Result<Photo> copy_photo(const PhotoTakingIn& taking, Id id, Timestamp now) {
  Result<PictureInfo> info = probe_picture(taking.source);
  if (!info) return info.problem();
  if (std::find(taking.known_sha256.begin(), taking.known_sha256.end(), info->sha256) != taking.known_sha256.end())
    return Problem{taking.source.string(), "", "a photo that is not here yet", "the same picture (SHA-256 " + info->sha256.substr(0, 12) + "...)", Outcome::finding};
  // Decoded once before it is accepted: a picture that ends early is found now, not at hand-back.
  if (Result<Raster> preview = decode_preview(taking.source, 64); !preview) return preview.problem();

  Photo photo;
  photo.id = std::move(id);
  photo.side = taking.side;
  photo.stage = taking.job ? taking.stage : std::nullopt;
  photo.width_px = info->width_px;
  photo.height_px = info->height_px;
  const fs::path folder = taking.job ? taking.dir / "photos" : taking.dir;
  std::error_code error;
  fs::create_directories(folder, error);
  std::string name = safe_file_name(taking.source.filename().string());
  Result<std::string> bytes = std::string{};
  if (taking.job) {
    bytes = read_file(taking.source, 512ULL << 20U);
    photo.captured_at = info->taken_at;
    photo.captured_offset = info->taken_offset;
    photo.added_at = now;
  } else if (info->format == PictureFormat::jpeg || info->format == PictureFormat::png) {
    bytes = scrubbed_copy_bytes(taking.source);
  } else {
    // HEIC and the rest cannot be scrubbed bit by bit, and not every colleague's machine opens them.
    Result<Raster> raster = decode_full(taking.source);
    if (!raster) return raster.problem();
    bytes = jpeg_bytes(*raster, 95);
    name = fs::path(name).stem().string() + ".jpg";
  }
  if (!bytes) return bytes.problem();
  const fs::path file = free_name(folder, name);
  photo.file = taking.job ? "photos/" + file.string() : file.string();
  photo.sha256 = sha256_hex(*bytes);
  if (taking.job && photo.sha256 != info->sha256)
    return Problem{taking.source.string(), "", "a file that stays as it is", "it changed while it was copied"};
  if (Result<Done> written = write_file_atomically(folder / file, *bytes); !written) return written.problem();
  return photo;
}

Result<Photo> take_in_photo(Folder& folder, const fs::path& source, Side side, std::optional<PhotoStage> stage) {
  PhotoTakingIn taking{folder.dir(), folder.is_job(), source, side, stage, {}};
  if (folder.is_job())
    for (const Photo& photo : folder.now().job->photos) taking.known_sha256.push_back(photo.sha256);
  else
    for (const Photo& photo : folder.now().layer->photos) taking.known_sha256.push_back(photo.sha256);
  Result<Photo> photo = copy_photo(taking, folder.session().new_id(), folder.session().now());
  if (!photo) return photo;
  if (Result<Done> done = folder.commit(PutPhoto{*photo, false}); !done) {
    std::error_code ignored;
    fs::remove(folder.dir() / photo->file, ignored);
    return done.problem();
  }
  return photo;
}

}  // namespace boardlore
