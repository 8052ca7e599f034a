#include "bench/made_pictures.h"

#include <algorithm>
#include <cmath>

#include "alignment/straighten.h"
#include "pictures/encode.h"
#include "pictures/photo_file.h"
#include "storage/cache_folder.h"
#include "storage/file_bytes.h"

namespace boardlore {
namespace {

constexpr int sharpness_cell_px = 32;

std::string key_of(const Registration& registration) {
  std::string text;
  char number[32];
  for (const double value : registration.board_from_photo.rows) {
    std::snprintf(number, sizeof number, "%a,", value);
    text += number;
  }
  std::snprintf(number, sizeof number, "%a", registration.lens ? registration.lens->k1 : 0);
  return text + number;
}

// The id of a picture that no document holds; not of the form of those that documents hold.
std::string name_of(const std::string& what) { return sha256_hex(what).substr(0, 32); }

Raster on_dark(Raster raster) {
  for (std::size_t i = 0; i + 3 < raster.rgba.size(); i += 4)
    if (raster.rgba[i + 3] == 0) raster.rgba[i] = raster.rgba[i + 1] = raster.rgba[i + 2] = 24;
  return raster;
}

Raster tint_of(const SharpnessMap& map) {
  const double sharp_from = std::max(usual_sharpness(map), 1e-6);
  Raster tint;
  tint.width_px = map.columns;
  tint.height_px = map.rows;
  tint.rgba.resize(map.values.size() * 4);
  for (std::size_t i = 0; i < map.values.size(); ++i) {
    const double soft = 1 - std::clamp(map.values[i] / sharp_from, 0.0, 1.0);
    tint.rgba[4 * i] = 40, tint.rgba[4 * i + 1] = 110, tint.rgba[4 * i + 2] = 235;
    tint.rgba[4 * i + 3] = static_cast<std::uint8_t>(std::lround(190 * soft));
  }
  return tint;
}

}  // namespace

std::string PictureMaker::begin(const DeskView& desk, std::vector<const DeskPhoto*> photos, Side side, bool joined) {
  const Board& board = desk.snapshot.layer->board;
  if (!board.width_mm || !board.height_mm) return "The board's size in mm is not known yet: its photo is laid on the board by it.";
  const std::filesystem::path folder = cache_folder("made");
  if (folder.empty()) return "There is no cache folder: neither XDG_CACHE_HOME nor HOME is set.";
  const BoardRect whole{0, 0, *board.width_mm, *board.height_mm};

  Picture picture;
  picture.joined = joined;
  std::string key = joined ? "joined " : "square-on ";
  key += std::to_string(whole.width_mm) + "x" + std::to_string(whole.height_mm);
  std::vector<MosaicSource> sources;
  for (const DeskPhoto* entry : photos) {
    picture.sources.push_back({entry->photo.id, entry->photo.sha256, *entry->photo.registration});
    key += "|" + entry->photo.sha256 + "|" + key_of(*entry->photo.registration);
    sources.push_back({[path = entry->path] { return decode_full(path); }, *entry->photo.registration});
  }
  const std::string name = name_of(key);
  for (const Picture& made : pictures_)
    if (made.entry.photo.id.text == name && holds(made, desk)) {
      ready_ = News{made.entry.photo.id, false, {}};
      return {};
    }
  Photo& photo = picture.entry.photo;
  photo.id.text = name;
  photo.side = side;
  photo.file = joined ? std::to_string(photos.size()) + " photos joined" : std::filesystem::path(photos.front()->photo.file).filename().string() + ", square-on";
  picture.entry.path = folder / (name + ".jpg");
  picture.entry.reference = photos.front()->reference;
  picture.entry.made = true;
  // The joined picture is no surer than the least sure of its photos.
  const Registration through = std::max_element(picture.sources.begin(), picture.sources.end(), [](const Source& x, const Source& y) {
                                 return x.registration.rms_mm < y.registration.rms_mm;
                               })->registration;
  std::vector<const Photo*> plain;
  for (const DeskPhoto* entry : photos) plain.push_back(&entry->photo);
  const double joined_density = joined_px_per_mm(plain, whole);

  task_.stop();
  under_way_ = true;
  doing_ = joined ? "Joining " + std::to_string(photos.size()) + " photos" : "Laying the photo square-on";
  task_ = Task<Outcome>::start([picture, sources, through, whole, side, joined, joined_density, folder](const TaskReins& reins) mutable {
    Outcome outcome;
    const auto trouble = [&](const Problem& problem) {
      outcome.trouble = problem.found == kStopped ? "" : to_text(problem);
      return outcome;
    };
    const auto tell = [&](double done) { *reins.progress = 0.9 * done; };
    Raster raster;
    double px_per_mm = joined_density;
    if (joined) {
      Result<Mosaic> mosaic = join_photos(sources, whole, px_per_mm, side, reins.stop, tell);
      if (!mosaic) return trouble(mosaic.problem());
      raster = std::move(mosaic->picture);
    } else {
      const Result<Raster> seen = sources.front().load();
      if (!seen) return trouble(seen.problem());
      tell(0.4);
      const double most = std::sqrt(most_straight_pixels / 2 / (whole.width_mm * whole.height_mm));
      px_per_mm = std::min(natural_px_per_mm(*seen, through, whole), most);
      Result<Raster> straight = straightened(*seen, through, whole, px_per_mm, side);
      if (!straight) return trouble(straight.problem());
      raster = std::move(*straight);
    }
    if (reins.stop.stop_requested()) return outcome;
    tell(1);
    std::error_code error;
    std::filesystem::create_directories(folder, error);
    picture.entry.photo.width_px = raster.width_px;
    picture.entry.photo.height_px = raster.height_px;
    picture.entry.photo.registration = straight_registration(whole, px_per_mm, side, through);
    if (const auto written = write_jpeg(picture.entry.path, on_dark(std::move(raster)), 92); !written) return trouble(written.problem());
    outcome.picture = std::move(picture);
    return outcome;
  });
  return {};
}

std::string PictureMaker::square_on(const DeskView& desk, const Id& id) {
  const DeskPhoto* photo = desk.find_photo(id);
  if (!photo) return "There is no photo in view.";
  if (photo->made) return "This picture is square-on already.";
  if (!photo->photo.registration) return "Register the photo first: what is square is known from its place on the board.";
  return begin(desk, {photo}, photo->photo.side, false);
}

std::string PictureMaker::join(const DeskView& desk, Side side) {
  std::vector<JoinPhoto> candidates;
  for (const DeskPhoto& entry : desk.photos)
    if (!entry.made) candidates.push_back({&entry.photo, !entry.reference});
  std::vector<const DeskPhoto*> chosen;
  for (const Photo* photo : photos_to_join(candidates, desk.is_job(), side)) chosen.push_back(desk.find_photo(photo->id));
  if (chosen.empty()) return "No photo of the " + std::string(side_name(side)) + " is registered yet.";
  return begin(desk, std::move(chosen), side, true);
}

std::string PictureMaker::see_sharpness(const DeskView& desk, const Id& id) {
  const DeskPhoto* photo = desk.find_photo(id);
  if (!photo) return "There is no photo in view.";
  if (sharpness_of(id)) {
    ready_ = News{Id{}, true, {}};
    return {};
  }
  task_.stop();
  under_way_ = true;
  doing_ = "Looking where the photo is sharp";
  task_ = Task<Outcome>::start([id, path = photo->path](const TaskReins& reins) {
    Outcome outcome;
    const Result<Raster> picture = decode_full(path, [&](double done) { *reins.progress = 0.7 * done; }, reins.stop);
    if (!picture) {
      if (picture.problem().found != kStopped) outcome.trouble = to_text(picture.problem());
      return outcome;
    }
    const SharpnessMap map = sharpness_map(*picture, sharpness_cell_px);
    if (map.values.empty()) outcome.trouble = "The photo is smaller than one cell of the map.";
    else if (!reins.stop.stop_requested()) outcome.sharpness = Sharpness{id, std::make_shared<const Raster>(tint_of(map)), map.cell_px, map.columns, map.rows};
    return outcome;
  });
  return {};
}

void PictureMaker::forget() {
  task_ = {};
  under_way_ = false;
  ready_.reset();
  pictures_.clear();
  sharpness_.reset();
  under_ = shown_ = nullptr;
  ++changes_;
}

std::optional<PictureMaker::News> PictureMaker::take() {
  if (ready_) return std::exchange(ready_, std::nullopt);
  auto done = task_.take();
  if (!done) return std::nullopt;
  under_way_ = false;
  News news;
  news.trouble = done->trouble;
  if (done->picture) {
    news.show = done->picture->entry.photo.id;
    // Of one kind and side only the newest is kept in the roll.
    std::erase_if(pictures_, [&](const Picture& p) {
      return p.entry.photo.id == news.show || (p.joined && done->picture->joined && p.entry.photo.side == done->picture->entry.photo.side);
    });
    pictures_.push_back(std::move(*done->picture));
    ++changes_;
  }
  if (done->sharpness) sharpness_ = std::move(done->sharpness), news.sharpness = true;
  return news;
}

bool PictureMaker::holds(const Picture& picture, const DeskView& desk) {
  return std::all_of(picture.sources.begin(), picture.sources.end(), [&](const Source& source) {
    const DeskPhoto* photo = desk.find_photo(source.photo);
    return photo && photo->photo.registration && photo->photo.sha256 == source.sha256 && *photo->photo.registration == source.registration &&
           photo->photo.side == picture.entry.photo.side;
  });
}

DeskViewPtr PictureMaker::with_made(const DeskViewPtr& desk) {
  if (pictures_.empty()) return desk;
  if (desk == under_ && changes_ == shown_changes_) return shown_;
  std::erase_if(pictures_, [&](const Picture& picture) { return !holds(picture, *desk); });
  auto view = std::make_shared<DeskView>(*desk);
  for (const Picture& picture : pictures_) view->photos.push_back(picture.entry);
  under_ = desk;
  shown_ = std::move(view);
  shown_changes_ = changes_;
  return shown_;
}

}  // namespace boardlore
