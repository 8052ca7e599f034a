#include "record/record_pictures.h"

#include <algorithm>
#include <map>

#include "pictures/encode.h"
#include "pictures/photo_file.h"
#include "pictures/scrub.h"
#include "record/resample.h"

namespace boardlore {
namespace {

constexpr double pi = 3.14159265358979323846;

// What of the photo is shown: a rectangle in photo pixels, turned and scaled into the result.
struct Cut {
  ScreenFromPhoto picture_from_photo;
  int width_px = 0, height_px = 0;
  bool whole = false;  // the photo as it is, only smaller
};

Cut cut_of(const Photo& photo, double turn_deg, PhotoRect rect, int longest_px) {
  const double turn_rad = turn_deg * pi / 180;
  const double c = std::fabs(std::cos(turn_rad)), s = std::fabs(std::sin(turn_rad));
  const double w = rect.right - rect.left, h = rect.bottom - rect.top;
  const double turned_w = w * c + h * s, turned_h = w * s + h * c;
  const double zoom = std::min(1.0, longest_px / std::max(turned_w, turned_h));
  Cut cut;
  cut.width_px = std::max(1, static_cast<int>(std::lround(turned_w * zoom)));
  cut.height_px = std::max(1, static_cast<int>(std::lround(turned_h * zoom)));
  cut.picture_from_photo = screen_from_photo(zoom, turn_rad, false, {(rect.left + rect.right) / 2, (rect.top + rect.bottom) / 2},
                                             {cut.width_px / 2.0, cut.height_px / 2.0});
  cut.whole = turn_deg == 0 && rect.left == 0 && rect.top == 0 && rect.right == photo.width_px &&
              rect.bottom == photo.height_px;
  return cut;
}

PhotoRect shown_rect(const Photo& photo) {
  PhotoRect whole{0, 0, static_cast<double>(photo.width_px), static_cast<double>(photo.height_px)};
  if (!photo.crop_px) return whole;
  const auto& crop = *photo.crop_px;
  PhotoRect rect{std::max(0.0, crop[0]), std::max(0.0, crop[1]), std::min(whole.right, crop[0] + crop[2]),
                 std::min(whole.bottom, crop[1] + crop[3])};
  return rect.right - rect.left >= 1 && rect.bottom - rect.top >= 1 ? rect : whole;
}

// Marks of the side that the picture shows: all around a close-up, the mentioned ones on a whole photo.
BoardShapes shapes_for(const Picture& picture, const Record& record, const Snapshot& snapshot, Side side) {
  if (picture.close_up_at) return shapes_of(snapshot.layer->marks, side);
  std::vector<MarkPtr> marks;
  for (const Id& id : record.mentioned)
    if (MarkPtr mark = snapshot.layer->marks.find(id)) marks.push_back(std::move(mark));
  return shapes_of(MarkTable(std::move(marks)), side);
}

class Preparer {
 public:
  Preparer(const Record& record, const Snapshot& snapshot, const PictureOptions& options)
      : record_(record), snapshot_(snapshot), options_(options) {}

  // Everything the record shows of one photo.
  void prepare(const Photo& photo, const std::filesystem::path& path,
               const std::vector<std::pair<const Picture*, PreparedPicture*>>& wanted) const {
    const auto give_up = [&](const Problem& problem) {
      // The reason without the path: the record leaves the shop.
      for (const auto& [picture, prepared] : wanted)
        prepared->missing = photo.file + ": expected " + problem.expected + ", found " + problem.found;
    };
    const Result<PictureInfo> info = probe_picture(path);
    if (!info) return give_up(info.problem());
    Photo as_found = photo;  // sizes as they are, whatever the job says
    as_found.width_px = info->width_px;
    as_found.height_px = info->height_px;
    std::optional<PhotoMap> map;
    if (photo.registration)
      if (Result<PhotoMap> made = PhotoMap::from(*photo.registration)) map = *made;

    const bool details = std::any_of(wanted.begin(), wanted.end(), [&](const auto& w) { return map && w.first->close_up_at; });
    const int shorter = std::min(info->width_px, info->height_px), longer = std::max(info->width_px, info->height_px);
    Result<Raster> raster = details || photo.crop_px
                                ? decode_full(path)
                                : decode_preview(path, std::max(1, options_.whole_px * shorter / std::max(1, longer)));
    if (!raster) return give_up(raster.problem());
    for (const auto& [picture, prepared] : wanted) {
      if (map && picture->close_up_at && picture->on_board_frame)
        straightened(*picture, as_found, *map, *raster, *prepared);
      else
        as_taken(*picture, as_found, map, *info, path, *raster, *prepared);
    }
  }

 private:
  void as_taken(const Picture& picture, const Photo& photo, const std::optional<PhotoMap>& map, const PictureInfo& info,
                const std::filesystem::path& path, const Raster& raster, PreparedPicture& out) const {
    PhotoRect rect = shown_rect(photo);
    int longest_px = options_.whole_px;
    double turn_deg = photo.turn_deg;
    if (picture.close_up_at && picture.seen_turn_deg && map)
      turn_deg = std::remainder(*picture.seen_turn_deg - map->board_turn_rad(*picture.close_up_at) * 180 / pi, 360.0);
    if (picture.close_up_at && map)
      if (const auto at = map->photo_from(*picture.close_up_at)) {
        const double reach_px = std::max(20.0, picture.close_up_reach_mm * map->px_per_mm(*picture.close_up_at));
        const PhotoRect around{std::max(0.0, at->x_px - reach_px), std::max(0.0, at->y_px - reach_px),
                               std::min<double>(photo.width_px, at->x_px + reach_px),
                               std::min<double>(photo.height_px, at->y_px + reach_px)};
        if (around.right - around.left >= 8 && around.bottom - around.top >= 8) rect = around, longest_px = options_.close_up_px;
      }
    const Cut cut = cut_of(photo, turn_deg, rect, longest_px);
    out.width_px = cut.width_px;
    out.height_px = cut.height_px;
    out.picture_from_scene = cut.picture_from_photo;
    if (cut.whole && cut.width_px == photo.width_px && info.format == PictureFormat::jpeg && info.orientation == 1 &&
        info.file_bytes <= options_.untouched_below_bytes)
      if (Result<std::string> own = scrubbed_copy_bytes(path)) out.jpeg = *std::move(own), out.untouched = true;
    if (out.jpeg.empty()) {
      const double decoded = static_cast<double>(raster.width_px) / photo.width_px;  // preview: fewer pixels
      const double reduction = decoded / cut.picture_from_photo.zoom();
      const ScreenFromPhoto& picture_from_photo = cut.picture_from_photo;
      encode(resampled(raster, cut.width_px, cut.height_px, reduction,
                       [&](double x, double y) -> std::optional<PhotoPoint> {
                         const PhotoPoint p = picture_from_photo.photo_from_screen({x, y});
                         return PhotoPoint{p.x_px * decoded, p.y_px * decoded};
                       }),
             out);
    }
    if (map) add_overlay(picture, photo, *map, rect, out);
  }

  void add_overlay(const Picture& picture, const Photo& photo, const PhotoMap& map, const PhotoRect& rect,
                   PreparedPicture& out) const {
    if (picture.ring_at)
      if (const auto at = map.photo_from(*picture.ring_at)) {
        out.ring = out.picture_from_scene(*at);
        out.ring_radius_px = std::max(out.width_px, out.height_px) * 0.045;
      }
    if (!picture.overlay) return;
    OverlayOptions options;
    options.selected.insert(picture.marks.begin(), picture.marks.end());
    options.visible = rect;
    options.zoom = out.picture_from_scene.zoom();
    out.scene = overlay_scene(shapes_for(picture, record_, snapshot_, photo.side), map, options);
  }

  // On the board frame, so that before and after show the same millimetres whatever the camera did.
  void straightened(const Picture& picture, const Photo& photo, const PhotoMap& map, const Raster& raster,
                    PreparedPicture& out) const {
    const BoardPoint centre = *picture.close_up_at;
    const double reach_mm = picture.close_up_reach_mm, px_per_mm = map.px_per_mm(centre);
    if (!(px_per_mm > 0) || !(reach_mm > 0)) {
      out.missing = photo.file + ": the place is beyond the photo's horizon";
      return;
    }
    const int side_px = std::clamp(static_cast<int>(2 * reach_mm * px_per_mm), 240, options_.close_up_px);
    const double mm_per_out = 2 * reach_mm / side_px, sign = photo.side == Side::bottom ? -1 : 1;
    out.width_px = out.height_px = side_px;
    encode(resampled(raster, side_px, side_px, px_per_mm * mm_per_out,
                     [&](double x, double y) {
                       return map.photo_from({centre.x_mm + sign * (x * mm_per_out - reach_mm), centre.y_mm + reach_mm - y * mm_per_out});
                     }),
           out);
    Registration straight;
    straight.mirrored = sign < 0;
    straight.px_per_mm = 1 / mm_per_out;
    straight.board_from_photo.rows = {sign * mm_per_out, 0, centre.x_mm - sign * reach_mm, 0, -mm_per_out, centre.y_mm + reach_mm,
                                      0, 0, 1};
    const Result<PhotoMap> straight_map = PhotoMap::from(straight);
    if (!straight_map) return;
    OverlayOptions options;
    options.visible = PhotoRect{0, 0, static_cast<double>(side_px), static_cast<double>(side_px)};
    options.selected.insert(picture.marks.begin(), picture.marks.end());
    options.labels = LabelDensity::none;
    std::vector<MarkPtr> marks;
    for (const Id& id : picture.marks)
      if (MarkPtr mark = snapshot_.layer->marks.find(id)) marks.push_back(std::move(mark));
    out.scene = overlay_scene(shapes_of(MarkTable(std::move(marks)), photo.side), *straight_map, options);
  }

  void encode(const Raster& raster, PreparedPicture& out) const {
    Result<std::string> jpeg = jpeg_bytes(raster, options_.quality);
    if (jpeg)
      out.jpeg = *std::move(jpeg);
    else
      out.missing = to_text(jpeg.problem());
  }

  const Record& record_;
  const Snapshot& snapshot_;
  const PictureOptions& options_;
};

const Photo* find_photo(const Snapshot& snapshot, const Id& id) {
  for (const auto* photos : {&snapshot.job->photos, &snapshot.layer->photos})
    for (const Photo& photo : *photos)
      if (photo.id == id) return &photo;
  return nullptr;
}

}  // namespace

Result<std::vector<PreparedPicture>> prepare_pictures(const Record& record, const Snapshot& snapshot,
                                                      const PhotoPathFn& path_of, const PictureOptions& options,
                                                      const ProgressFn& progress, std::stop_token stop) {
  const std::vector<const Picture*> pictures = pictures_of(record);
  std::vector<PreparedPicture> prepared(pictures.size());
  std::map<const Photo*, std::vector<std::pair<const Picture*, PreparedPicture*>>> by_photo;
  for (std::size_t i = 0; i < pictures.size(); ++i) {
    if (const Photo* photo = find_photo(snapshot, pictures[i]->photo))
      by_photo[photo].emplace_back(pictures[i], &prepared[i]);
    else
      prepared[i].missing = "the photo is no longer in the job";
  }
  const Preparer preparer(record, snapshot, options);
  std::size_t done = 0;
  for (const auto& [photo, wanted] : by_photo) {
    if (stop.stop_requested()) return Problem{"", "record", "to finish", kStopped};
    preparer.prepare(*photo, path_of(*photo), wanted);
    if (progress) progress(static_cast<double>(++done) / static_cast<double>(by_photo.size()));
  }
  return prepared;
}

}  // namespace boardlore
