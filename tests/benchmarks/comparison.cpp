// Before against after, measured: how many turned, shifted and missing parts are found, and how often a part that
// nobody touched is named. In the later photo of a pair the pictures of some parts are changed by known amounts: cut
// out and put back turned or shifted, or painted over with the board around them; each photo is another view under
// other light. Every third part is changed at a time, so that its neighbours stand unchanged beside it.
//
// Pairs: the photos of the demo board; and the board.jpg among the samples of Debian's package opencv-doc, a real
// board whose bodies were read off the picture by eye, against itself seen from elsewhere (made_board.h). Else 'skipped'.
#include <chrono>
#include <cstdio>
#include <fstream>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

#include "alignment/compare.h"
#include "alignment/part_patch.h"
#include "made_board.h"
#include "pictures/encode.h"
#include "pictures/photo_file.h"
#include "storage/documents.h"
#include "support/places.h"
#include "support/small_layer.h"

using namespace boardlore;

namespace {

struct View {
  std::string name;
  Raster raster;
  PhotoFromBoard photo_from_board;
  Side side = Side::top;
  // Where the camera stood over the board's frame, mm; nullopt: a flat picture, in which nothing leans.
  std::optional<cv::Vec3d> camera;
  // How far the top of a body there is seen displaced on the board's plane: h (p - c) / (z - h), by similar triangles.
  Offset lean(BoardPoint at, double height_mm) const {
    if (!camera) return {};
    const double share = height_mm / ((*camera)[2] - height_mm);
    return {share * (at.x_mm - (*camera)[0]), share * (at.y_mm - (*camera)[1])};
  }
  RegisteredPicture registered() const {
    RegisteredPicture picture{&raster, {}};
    picture.registration.board_from_photo = *photo_from_board.inverse();
    picture.registration.mirrored = side == Side::bottom;
    picture.registration.px_per_mm = 10;
    return picture;
  }
};

// From the exact map of a pinhole camera: square pixels, and the board's middle on its axis (assets/demo_board/camera.h). The two
// columns of K^-1 H are at right angles and of one length (Zhang, "A Flexible New Technique for Camera Calibration", 2000,
// section 2.3; from memory), which gives the focal length and then the place.
cv::Vec3d camera_of(const PhotoFromBoard& map, double width_mm, double height_mm) {
  const auto middle = *map(BoardPoint{width_mm / 2, height_mm / 2});
  cv::Matx33d h;
  for (int i = 0; i < 9; ++i) h.val[i] = map.rows[static_cast<std::size_t>(i)];
  h = cv::Matx33d(1, 0, -middle.x_px, 0, 1, -middle.y_px, 0, 0, 1) * h;
  const auto column = [](const cv::Matx33d& of, int i) { return cv::Vec3d(of(0, i), of(1, i), of(2, i)); };
  const cv::Vec3d h1 = column(h, 0), h2 = column(h, 1);
  const double a1 = h1[0] * h2[0] + h1[1] * h2[1], b1 = -h1[2] * h2[2];
  const double a2 = h1[0] * h1[0] + h1[1] * h1[1] - h2[0] * h2[0] - h2[1] * h2[1], b2 = h2[2] * h2[2] - h1[2] * h1[2];
  const double per_focal = std::sqrt(std::max(1e-12, (a1 * b1 + a2 * b2) / (a1 * a1 + a2 * a2)));
  const cv::Matx33d m = cv::Matx33d(per_focal, 0, 0, 0, per_focal, 0, 0, 0, 1) * h;
  const double length = (cv::norm(column(m, 0)) + cv::norm(column(m, 1))) / 2;
  const cv::Vec3d r1 = column(m, 0) / length, r2 = column(m, 1) / length, t = column(m, 2) / length, r3 = r1.cross(r2);
  return {-r1.dot(t), -r2.dot(t), std::fabs(r3.dot(t))};
}

enum class Change { turned_180, turned_90, shifted, gone };
const char* name_of(Change change) {
  switch (change) {
    case Change::turned_180: return "turned 180";
    case Change::turned_90: return "turned 90";
    case Change::shifted: return "shifted";
    case Change::gone: return "painted over";
  }
  return "";
}

// Just beyond what a body's lean explains (compare.cpp): less can't be told from two views.
double shift_of(const PartBox& box) { return 0.45 + 0.45 * box.height_mm; }

std::array<double, 3> colour_at(const Raster& raster, PhotoPoint p) {
  const int x = std::clamp(static_cast<int>(p.x_px - 0.5), 0, raster.width_px - 2), y = std::clamp(static_cast<int>(p.y_px - 0.5), 0, raster.height_px - 2);
  const double u = std::clamp(p.x_px - 0.5 - x, 0.0, 1.0), v = std::clamp(p.y_px - 0.5 - y, 0.0, 1.0);
  std::array<double, 3> colour{};
  for (std::size_t c = 0; c < 3; ++c)
    colour[c] = (1 - v) * ((1 - u) * raster.pixel(x, y)[c] + u * raster.pixel(x + 1, y)[c]) +
                v * ((1 - u) * raster.pixel(x, y + 1)[c] + u * raster.pixel(x + 1, y + 1)[c]);
  return colour;
}

// The board's colour about a part: the median of a ring a little outside of it.
std::array<double, 3> ground_about(const View& view, const PartBox& box) {
  std::array<std::vector<double>, 3> ring;
  for (int i = 0; i < 72; ++i) {
    const double a = i * 3.14159265358979 / 36, r = 1.6 * std::hypot(box.half_x_mm, box.half_y_mm);
    const auto seen = view.photo_from_board(BoardPoint{box.centre.x_mm + r * std::cos(a), box.centre.y_mm + r * std::sin(a)});
    if (!seen) continue;
    const auto colour = colour_at(view.raster, *seen);
    for (std::size_t c = 0; c < 3; ++c) ring[c].push_back(colour[c]);
  }
  std::array<double, 3> median{};
  for (std::size_t c = 0; c < 3; ++c) {
    std::nth_element(ring[c].begin(), ring[c].begin() + static_cast<std::ptrdiff_t>(ring[c].size() / 2), ring[c].end());
    median[c] = ring[c][ring[c].size() / 2];
  }
  return median;
}

void change_part(const View& from, View& into, const PartBox& box, Change change, double margin_mm) {
  const double turn = box.rotation_deg * 3.14159265358979 / 180, c = std::cos(turn), s = std::sin(turn);
  const double half_x = box.half_x_mm + margin_mm, half_y = box.half_y_mm + margin_mm, shift = shift_of(box);
  const auto board_from_photo = *from.photo_from_board.inverse();
  // The body's top is what is seen; it is put back as it would stand, leaning as it did.
  const Offset lean = from.lean(box.centre, box.height_mm);
  const BoardPoint centre{box.centre.x_mm + lean.x_mm, box.centre.y_mm + lean.y_mm};
  const std::array<double, 3> ground = ground_about(from, box);
  PhotoPoint low{1e9, 1e9}, high{-1e9, -1e9};
  for (const double r : {-1.5, 1.5})
    for (const double q : {-1.5, 1.5})
      if (const auto corner = from.photo_from_board(BoardPoint{box.centre.x_mm + r * (half_x + half_y), box.centre.y_mm + q * (half_x + half_y)})) {
        low = {std::min(low.x_px, corner->x_px), std::min(low.y_px, corner->y_px)};
        high = {std::max(high.x_px, corner->x_px), std::max(high.y_px, corner->y_px)};
      }
  made::Dice dice(static_cast<unsigned>(box.centre.x_mm * 100));
  const auto inside = [&](double x, double y) { return std::fabs(x) <= half_x && std::fabs(y) <= half_y; };
  for (int y = std::max(0, int(low.y_px)); y < std::min(into.raster.height_px, int(high.y_px) + 1); ++y)
    for (int x = std::max(0, int(low.x_px)); x < std::min(into.raster.width_px, int(high.x_px) + 1); ++x) {
      const auto board = board_from_photo(PhotoPoint{x + 0.5, y + 0.5});
      if (!board) continue;
      const double dx = board->x_mm - centre.x_mm, dy = board->y_mm - centre.y_mm;
      const double px = c * dx + s * dy, py = -s * dx + c * dy;  // in the part's axes
      double sx = px, sy = py;
      bool take = inside(px, py), ground_here = false;
      if (change == Change::turned_180) sx = -px, sy = -py;
      if (change == Change::turned_90) sx = py, sy = -px;
      if (change == Change::shifted) {
        sx = px - shift;
        const bool now = inside(sx, sy);
        ground_here = take && !now;
        take = take || now;
      }
      if (change == Change::gone) ground_here = take;
      if (!take) continue;
      std::array<double, 3> colour = ground;
      if (!ground_here) {
        const auto seen = from.photo_from_board(BoardPoint{centre.x_mm + c * sx - s * sy, centre.y_mm + s * sx + c * sy});
        if (!seen) continue;
        colour = colour_at(from.raster, *seen);
      } else {
        const double grain = dice.between(-6, 6);
        for (double& value : colour) value += grain;
      }
      for (std::size_t k = 0; k < 3; ++k) into.raster.pixel(x, y)[k] = static_cast<std::uint8_t>(std::clamp(colour[k], 0.0, 255.0));
    }
}

bool turns(Change change) { return change == Change::turned_180 || change == Change::turned_90; }

struct Count {
  int changed = 0, found = 0, cannot_tell = 0, otherwise = 0;  // found: named with the right verdict
  int still = 0, alarms = 0;
};

bool right(const PartComparison& part, Change change) {
  switch (change) {
    case Change::turned_180: return part.verdict == PartVerdict::turned && part.turn_deg == 180;
    case Change::turned_90: return part.verdict == PartVerdict::turned && (part.turn_deg == 90 || part.turn_deg == 270);
    case Change::shifted: return part.verdict == PartVerdict::moved;
    case Change::gone: return part.verdict == PartVerdict::missing;
  }
  return false;
}

Count measure(const View& before, const View& after, const Layer& layer, Change change) {
  Count count;
  std::vector<std::pair<MarkPtr, PartBox>> able;
  layer.marks.each([&](const MarkPtr& mark) {
    if (mark->kind != MarkKind::part || mark->side != before.side) return;
    const auto box = part_box(*mark);
    if (!box) return;
    const auto a = after.photo_from_board(box->centre), b = after.photo_from_board(BoardPoint{box->centre.x_mm + 1, box->centre.y_mm});
    if (!a || !b || a->x_px < 0 || a->y_px < 0 || a->x_px > after.raster.width_px || a->y_px > after.raster.height_px) return;
    if (distance_px(*a, *b) * box->short_side_mm() < 40) return;
    // Turned: only dual-row and quad parts show it.
    if (turns(change) && !mark->refdes.starts_with("U")) return;
    if (change == Change::turned_90 && !box->nearly_square()) return;
    able.emplace_back(mark, *box);
  });
  for (std::size_t round = 0; round < 3; ++round) {
    View changed = after;
    std::set<Id> touched;
    for (std::size_t i = round; i < able.size(); i += 3) {
      change_part(after, changed, able[i].second, change, change == Change::gone ? 0.5 : 0.0);
      touched.insert(able[i].first->id);
    }
    const auto comparison = compare_photos(before.registered(), changed.registered(), layer, before.side);
    if (!comparison) {
      std::printf("  refused: %s\n", to_text(comparison.problem()).c_str());
      return count;
    }
    for (const PartComparison& part : comparison->parts) {
      if (touched.contains(part.mark)) {
        ++count.changed;
        if (right(part, change)) ++count.found;
        else if (part.verdict == PartVerdict::cannot_tell) {
          ++count.cannot_tell;
          if (turns(change)) std::printf("  can't be told: %s %s (%s)\n", part.refdes.c_str(), name_of(change), part.words.c_str());
        } else if (is_finding(part.verdict)) ++count.otherwise;
        else std::printf("  missed: %s %s in %s (%s)\n", part.refdes.c_str(), name_of(change), after.name.c_str(), part.words.c_str());
      } else {
        ++count.still;
        if (is_finding(part.verdict)) {
          ++count.alarms;
          std::printf("  false alarm: %s %s (%s)\n", part.refdes.c_str(), std::string(verdict_name(part.verdict)).c_str(), part.words.c_str());
        }
      }
    }
  }
  return count;
}

std::string text_of(const std::filesystem::path& path) {
  std::ifstream in(path);
  std::stringstream text;
  text << in.rdbuf();
  return text.str();
}

struct Totals {
  Count of[4];
  void add(const std::string& pair, const View& before, const View& after, const Layer& layer) {
    for (const Change change : {Change::turned_180, Change::turned_90, Change::shifted, Change::gone}) {
      const Count n = measure(before, after, layer, change);
      Count& all = of[static_cast<int>(change)];
      all.changed += n.changed, all.found += n.found, all.cannot_tell += n.cannot_tell, all.otherwise += n.otherwise;
      all.still += n.still, all.alarms += n.alarms;
      std::printf("%-44s %-13s %4d changed: %4d found, %3d named otherwise, %3d can't be told; %4d unchanged: %d false alarms\n", pair.c_str(),
                  name_of(change), n.changed, n.found, n.otherwise, n.cannot_tell, n.still, n.alarms);
      std::fflush(stdout);
    }
  }
  void print() const {
    int still = 0, alarms = 0;
    for (int i = 0; i < 4; ++i) {
      const Count& n = of[i];
      still += n.still, alarms += n.alarms;
      if (n.changed == 0) continue;
      std::printf("in all, %-13s %4d changed: found %.1f %%, named otherwise %.1f %%, can't be told %.1f %%\n", name_of(static_cast<Change>(i)), n.changed,
                  100.0 * n.found / n.changed, 100.0 * n.otherwise / n.changed, 100.0 * n.cannot_tell / n.changed);
    }
    if (still > 0) std::printf("in all, unchanged parts compared %d times: false alarms %.2f %%\n\n", still, 100.0 * alarms / still);
  }
};

void demo_part() {
  const std::filesystem::path dir = places::source_dir() / "boards/brackenwick-gc12";
  const auto layer = read_layer(text_of(dir / "layer.json"), "layer.json");
  if (!layer) return std::printf("demo: %s\n", to_text(layer.problem()).c_str()), void();
  const auto truth = nlohmann::json::parse(text_of(dir / "later-unit/truth.json"));
  std::vector<View> views;
  for (const auto& photo : truth["photos"]) {
    const std::string file = photo["file"];
    if (file.find("after") != std::string::npos) continue;  // two parts really differ there
    const std::filesystem::path name = std::filesystem::path(file).filename();
    auto raster = decode_full(std::filesystem::exists(dir / name) ? dir / name : dir / "later-unit" / name);
    if (!raster) continue;
    View view{name.string(), std::move(*raster), {}, photo["side"] == "top" ? Side::top : Side::bottom, {}};
    for (std::size_t i = 0; i < 9; ++i) view.photo_from_board.rows[i] = photo["photo_from_board"][i];
    view.camera = camera_of(view.photo_from_board, *layer->board.width_mm, *layer->board.height_mm);
    std::printf("%s: camera over %.0f, %.0f at %.0f mm\n", view.name.c_str(), (*view.camera)[0], (*view.camera)[1], (*view.camera)[2]);
    views.push_back(std::move(view));
  }
  std::printf("demo board\n");
  Totals totals;
  for (const View& before : views)
    for (const View& after : views)
      if (&before != &after && before.side == after.side) totals.add(before.name + " / " + after.name, before, after, *layer);
  totals.print();
}

// Bodies on board.jpg, in its pixels: left, top, right, bottom.
struct Body {
  const char* refdes;
  double left, top, right, bottom;
};
constexpr Body bodies_by_eye[] = {
    {"U2", 41, 64, 184, 104}, {"U3", 313, 132, 367, 187}, {"U4", 358, 326, 490, 434}, {"U9", 102, 335, 152, 363},
    {"X1", 383, 202, 453, 226}, {"Q3", 101, 258, 146, 296}, {"C42", 212, 98, 238, 124}, {"C62", 372, 113, 398, 139}, {"C70", 447, 110, 473, 136},
    {"C61", 346, 211, 372, 237}, {"C28", 35, 333, 77, 366},
};

void real_part() {
  const std::filesystem::path sample = "/usr/share/doc/opencv-doc/examples/data/board.jpg";
  const auto photo = std::filesystem::exists(sample) ? decode_full(sample) : Result<Raster>(Problem{"", "", "", "", Outcome::bad_input});
  if (!photo) return std::printf("real photo: skipped (no board.jpg of opencv-doc)\n"), void();
  constexpr double px_per_mm = 8;
  const double width = photo->width_px, height = photo->height_px;
  Layer layer;
  layer.id = numbered_id(1);
  layer.board = Board{"Made", "Up", "", width / px_per_mm, height / px_per_mm, {}, {}};
  unsigned number = 10;
  for (const Body& body : bodies_by_eye) {
    Mark mark;
    mark.id = numbered_id(number++);
    mark.kind = MarkKind::part;
    mark.refdes = body.refdes;
    mark.at = {(body.left + body.right) / 2 / px_per_mm, (height - (body.top + body.bottom) / 2) / px_per_mm};
    const double x = (body.right - body.left) / 2 / px_per_mm, y = (body.bottom - body.top) / 2 / px_per_mm;
    mark.outline = {{-x, -y}, {x, -y}, {x, y}, {-x, y}};
    if (mark.refdes.starts_with("U")) {  // only a part with more than two ends is asked which way round it is
      mark.package = Package{};
      mark.package->pins = 8;
      mark.package->family = PackageFamily::dual_row;
      mark.package->body_length_mm = 2 * x;
      mark.package->body_width_mm = 2 * y;
    }
    layer = with_mark(layer, mark);
  }
  const PhotoFromBoard straight{{px_per_mm, 0, 0, 0, -px_per_mm, height, 0, 0, 1}};
  // Enlarged, so that bodies have the pixels a photo of today has; no detail comes with it.
  const cv::Mat rgb = colour_of(*photo);
  std::printf("a real board (board.jpg of opencv-doc), seen from elsewhere\n");
  Totals totals;
  for (int i = 0; i < 4; ++i) {
    made::Shot a{1920, 1440, 0, 0, 0, 0.95}, b{1920, 1440, 8.0 * i - 12, 6.0 + 4 * i, 40.0 * i, 0.9};
    b.gain = 0.8, b.uneven = 0.3, b.noise = 3, b.seed = static_cast<unsigned>(i) + 3;
    const auto view_of = [&](const made::Shot& shot, const std::string& name) {
      const made::ShotPicture picture = made::take(rgb, shot);
      return View{name, raster_of(picture.rgb), picture.straight_from_source * straight, Side::top, {}};
    };
    totals.add("view " + std::to_string(i), view_of(a, "as taken"), view_of(b, "view " + std::to_string(i)), layer);
  }
  totals.print();
}

}  // namespace

int main(int argc, char** argv) {
  const auto start = std::chrono::steady_clock::now();
  const std::string only = argc > 1 ? argv[1] : "";
  if (only != "real") demo_part();
  if (only != "demo") real_part();
  std::printf("%.0f s\n", std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
  return 0;
}
