// Automatic registration, measured: how often, how exact, how long, and never wrong.
//
// Real pairs where a checkout has them beside it (../shared/photos/pairs.json), else 'skipped'; photos of the
// demo board whose truth is known; hard cases made from them and from a real photo (board.jpg among the samples of
// Debian's package opencv-doc, else 'skipped'); and wrong pairings, none of which may be accepted. Beside ours runs the plain way: SIFT at full size, ratio test 0.75, USAC_MAGSAC.
// Arguments: names of the parts to run (pairs demo hard wrong), all without.
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <opencv2/features2d.hpp>
#include <set>

#include "alignment/auto_registration.h"
#include "alignment/board_map.h"
#include "made_board.h"
#include "pictures/encode.h"
#include "pictures/photo_file.h"
#include "support/places.h"

using namespace boardlore;
using Json = nlohmann::json;

namespace {

const std::filesystem::path source_dir = places::source_dir();
const std::filesystem::path shared_dir = places::shared_dir();
const std::filesystem::path demo_dir = source_dir / "boards/brackenwick-gc12";

struct Picture {
  std::string name;
  Side side = Side::top;
  Raster raster;
  PhotoFromBoard photo_from_board;  // truth
};

RegisteredPhoto as_reference(const Picture& picture) {
  RegisteredPhoto reference;
  reference.name = picture.name;
  reference.side = picture.side;
  reference.registration.board_from_photo = *picture.photo_from_board.inverse();
  reference.load = [&picture]() -> Result<Raster> { return picture.raster; };
  return reference;
}

using Truth = std::function<std::optional<PhotoPoint>(BoardPoint)>;

struct Errors {
  double median_px = 0, most_px = 0;
};

// Over a grid of board points that the photo shows.
Errors errors_of(const std::function<std::optional<PhotoPoint>(BoardPoint)>& found, const Truth& truth, const Raster& photo,
                 double width_mm, double height_mm) {
  std::vector<double> off;
  for (int i = 0; i <= 14; ++i)
    for (int j = 0; j <= 10; ++j) {
      const BoardPoint at{width_mm * (0.02 + 0.96 * i / 14), height_mm * (0.02 + 0.96 * j / 10)};
      const auto real = truth(at);
      if (!real || real->x_px < 0 || real->y_px < 0 || real->x_px > photo.width_px || real->y_px > photo.height_px) continue;
      const auto there = found(at);
      off.push_back(there ? distance_px(*there, *real) : 1e6);
    }
  if (off.empty()) return {1e6, 1e6};
  std::sort(off.begin(), off.end());
  return {off[off.size() / 2], off.back()};
}

struct Run {
  bool found = false;
  std::string refusal;
  Errors errors;
  double seconds = 0, confidence = 0, k1 = 0;
  std::optional<double> leave_out_mm;
  int inliers = 0, tried = 0;
};

double seconds_since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

Run run_ours(const Raster& photo, const std::vector<RegisteredPhoto>& onto, const Truth& truth, double width_mm, double height_mm) {
  Run run;
  AutoRequest request;
  request.photo = &photo;
  request.onto = onto;
  request.board_width_mm = width_mm;
  request.board_height_mm = height_mm;
  const auto start = std::chrono::steady_clock::now();
  const AutoOutcome outcome = register_automatically(request);
  run.seconds = seconds_since(start);
  if (const auto* report = std::get_if<AutoReport>(&outcome)) {
    run.found = true;
    run.confidence = report->confidence;
    run.k1 = report->lens_k1;
    run.leave_out_mm = report->leave_out_mm;
    run.inliers = report->inliers;
    run.tried = report->tried;
    const BoardMap map = board_map_of(report->registration);
    if (truth) run.errors = errors_of([&](BoardPoint p) { return map.photo(p); }, truth, photo, width_mm, height_mm);
  } else {
    const auto& refusal = std::get<AutoRefusal>(outcome);
    run.refusal = std::string(refusal_name(refusal.reason));
    run.confidence = refusal.confidence;
    run.inliers = refusal.inliers;
  }
  return run;
}

// The plain way; accepted from 15 inliers on.
Run run_plain(const Raster& photo, const Raster& reference, const BoardFromPhoto& board_from_reference, const Truth& truth,
              double width_mm, double height_mm) {
  Run run;
  const auto start = std::chrono::steady_clock::now();
  const auto finder = cv::SIFT::create();
  std::vector<cv::KeyPoint> a, b;
  cv::Mat da, db;
  finder->detectAndCompute(grey_of(photo), cv::noArray(), a, da);
  finder->detectAndCompute(grey_of(reference), cv::noArray(), b, db);
  std::vector<cv::Point2f> from, to;
  if (!da.empty() && !db.empty()) {
    std::vector<std::vector<cv::DMatch>> matches;
    cv::FlannBasedMatcher().knnMatch(da, db, matches, 2);
    for (const auto& m : matches)
      if (m.size() == 2 && m[0].distance < 0.75F * m[1].distance) {
        from.push_back(a[static_cast<std::size_t>(m[0].queryIdx)].pt);
        to.push_back(b[static_cast<std::size_t>(m[0].trainIdx)].pt);
      }
  }
  std::vector<uchar> mask;
  cv::Mat found;
  if (from.size() >= 8) found = cv::findHomography(from, to, cv::USAC_MAGSAC, 3, mask, 10000, 0.999);
  run.seconds = seconds_since(start);
  run.inliers = static_cast<int>(std::count(mask.begin(), mask.end(), 1));
  run.tried = static_cast<int>(from.size());
  if (found.empty() || run.inliers < 15) return run;
  Homography<PhotoPoint, PhotoPoint> reference_from_photo;
  for (std::size_t i = 0; i < 9; ++i) reference_from_photo.rows[i] = found.at<double>(static_cast<int>(i / 3), static_cast<int>(i % 3));
  // From OpenCV's pixel centres to ours.
  const Homography<PhotoPoint, PhotoPoint> to_cv{{1, 0, -0.5, 0, 1, -0.5, 0, 0, 1}}, from_cv{{1, 0, 0.5, 0, 1, 0.5, 0, 0, 1}};
  const auto photo_from_board = (board_from_reference * from_cv * reference_from_photo * to_cv).inverse();
  if (!photo_from_board) return run;
  run.found = true;
  if (truth) run.errors = errors_of([&](BoardPoint p) { return (*photo_from_board)(p); }, truth, photo, width_mm, height_mm);
  return run;
}

void print_head() {
  std::printf("%-44s | %-15s %9s %9s %6s %5s %6s %9s %8s | %-7s %9s %9s %6s\n", "case", "ours", "median px", "max px", "s", "conf",
              "patch", "leave mm", "k1", "plain", "median px", "max px", "s");
}

struct Total {
  int cases = 0, ours = 0, plain = 0, wrong_ours = 0;
  std::vector<double> ours_px, plain_px;
  double ours_s = 0, plain_s = 0;
  void add(const Run& o, const Run& p, double wrong_px) {
    ++cases;
    ours_s += o.seconds, plain_s += p.seconds;
    if (o.found) ++ours, ours_px.push_back(o.errors.median_px);
    if (o.found && o.errors.median_px > wrong_px) ++wrong_ours;
    if (p.found && p.errors.median_px < wrong_px) ++plain, plain_px.push_back(p.errors.median_px);
  }
  static double median(std::vector<double> v) {
    if (v.empty()) return 0;
    std::sort(v.begin(), v.end());
    return v[v.size() / 2];
  }
  void print() const {
    std::printf("in all: %d cases, ours found %d (%d of them wrong), plain %d; median of medians %.3f px against %.3f px; time %.1f s against %.1f s\n\n",
                cases, ours, wrong_ours, plain, median(ours_px), median(plain_px), ours_s, plain_s);
  }
};

void print_case(const std::string& name, const Run& o, const Run& p) {
  std::printf("%-44s | %-15s %9.3f %9.3f %6.2f %5.2f %4d/%-4d %7.4f %8.4f | %-7s %9.3f %9.3f %6.2f\n", name.c_str(),
              o.found ? "found" : o.refusal.c_str(), o.errors.median_px, o.errors.most_px, o.seconds, o.confidence, o.inliers, o.tried,
              o.leave_out_mm.value_or(0), o.k1, p.found ? "found" : "-", p.errors.median_px, p.errors.most_px, p.seconds);
  std::fflush(stdout);
}

std::vector<Picture> demo_pictures(double& width_mm, double& height_mm) {
  std::vector<Picture> pictures;
  std::ifstream in(demo_dir / "later-unit/truth.json");
  if (!in) return pictures;
  const Json truth = Json::parse(in);
  width_mm = truth["board"]["width_mm"];
  height_mm = truth["board"]["height_mm"];
  for (const Json& photo : truth["photos"]) {
    std::filesystem::path path = demo_dir / photo["file"].get<std::string>();
    if (!std::filesystem::exists(path)) path = demo_dir / "later-unit" / photo["file"].get<std::string>();
    auto raster = decode_full(path);
    if (!raster) continue;
    Picture picture{path.filename().string(), photo["side"] == "top" ? Side::top : Side::bottom, std::move(*raster), {}};
    for (std::size_t i = 0; i < 9; ++i) picture.photo_from_board.rows[i] = photo["photo_from_board"][i];
    pictures.push_back(std::move(picture));
  }
  return pictures;
}

void demo_part(const std::vector<Picture>& pictures, double width_mm, double height_mm) {
  std::printf("photos of the demo board onto each other, truth known\n");
  print_head();
  Total total;
  for (const Picture& photo : pictures)
    for (const Picture& reference : pictures) {
      if (&photo == &reference || photo.side != reference.side) continue;
      const Truth truth = [&](BoardPoint p) { return photo.photo_from_board(p); };
      const Run ours = run_ours(photo.raster, {as_reference(reference)}, truth, width_mm, height_mm);
      const Run plain = run_plain(photo.raster, reference.raster, *reference.photo_from_board.inverse(), truth, width_mm, height_mm);
      print_case(photo.name + " onto " + reference.name, ours, plain);
      total.add(ours, plain, 20);
    }
  total.print();
}

struct Hard {
  std::string name;
  made::Shot shot;
  int jpeg_quality = 90;
};

std::vector<Hard> hard_cases() {
  std::vector<Hard> list;
  const made::Shot plain{2600, 1900, 0, 0, 0, 0.95};
  const auto add = [&](std::string name, auto change, int quality = 90) {
    made::Shot shot = plain;
    change(shot);
    shot.seed = static_cast<unsigned>(list.size()) + 5;
    list.push_back({std::move(name), shot, quality});
  };
  for (const double tilt : {15.0, 30.0, 45.0})
    for (const double axis : {20.0, 110.0})
      add("tilt " + std::to_string(int(tilt)) + " about " + std::to_string(int(axis)), [&](made::Shot& s) { s.tilt_deg = tilt, s.tilt_axis_deg = axis; });
  for (const double turn : {33.0, 90.0, 180.0, 247.0}) add("turned " + std::to_string(int(turn)), [&](made::Shot& s) { s.turn_deg = turn; });
  add("scale 0.25", [](made::Shot& s) { s.width_px = 650, s.height_px = 475; });
  add("scale 0.5", [](made::Shot& s) { s.width_px = 1300, s.height_px = 950; });
  add("scale 2, a quarter of the board", [](made::Shot& s) { s.zoom = 2; });
  add("scale 4, a sixteenth of the board", [](made::Shot& s) { s.zoom = 4, s.shift_x = 0.6, s.shift_y = 0.4; });
  for (const double blur : {1.5, 3.0, 5.0, 9.0}) add("blur sigma " + std::to_string(blur).substr(0, 3), [&](made::Shot& s) { s.blur_px = blur; });
  for (const double noise : {10.0, 25.0, 40.0}) add("noise sigma " + std::to_string(int(noise)), [&](made::Shot& s) { s.noise = noise; });
  add("uneven light", [](made::Shot& s) { s.uneven = 0.85; });
  add("dark, noisy", [](made::Shot& s) { s.gain = 0.25, s.noise = 6; });
  add("glare", [](made::Shot& s) { s.glare_spots = 8; });
  for (const double hidden : {0.3, 0.6}) add("hidden " + std::to_string(int(100 * hidden)) + " %", [&](made::Shot& s) { s.hidden = hidden, s.turn_deg = 12; });
  add("JPEG quality 30", [](made::Shot&) {}, 30);
  for (const double k1 : {-0.03, -0.1, 0.05}) add("lens k1 " + std::to_string(k1).substr(0, 5), [&](made::Shot& s) { s.k1 = k1, s.turn_deg = 5; });
  add("all at once", [](made::Shot& s) { s.tilt_deg = 25, s.tilt_axis_deg = 60, s.turn_deg = 140, s.blur_px = 1.5, s.noise = 8, s.uneven = 0.5, s.glare_spots = 3, s.hidden = 0.2, s.k1 = -0.04; }, 50);
  return list;
}

// `source` seen in each hard way, onto `reference`; `times`: size of the shots against those above.
void hard_cases_of(const Picture& source, const Picture& reference, double width_mm, double height_mm, double times) {
  print_head();
  Total total;
  const cv::Mat rgb = colour_of(source.raster);
  for (Hard hard : hard_cases()) {
    hard.shot.width_px = cvRound(hard.shot.width_px * times), hard.shot.height_px = cvRound(hard.shot.height_px * times);
    hard.shot.blur_px *= times;
    const made::ShotPicture shot = made::take(rgb, hard.shot);
    const auto bytes = jpeg_bytes(raster_of(shot.rgb), hard.jpeg_quality);
    const auto raster = decode_memory(std::as_bytes(std::span(bytes->data(), bytes->size())), hard.name);
    const Truth truth = [&](BoardPoint p) -> std::optional<PhotoPoint> {
      const auto seen = source.photo_from_board(p);
      return seen ? shot.seen(*seen) : std::nullopt;
    };
    const Run ours = run_ours(*raster, {as_reference(reference)}, truth, width_mm, height_mm);
    const Run plain = run_plain(*raster, reference.raster, *reference.photo_from_board.inverse(), truth, width_mm, height_mm);
    print_case(hard.name, ours, plain);
    total.add(ours, plain, 20);
  }
  total.print();
}

void hard_part(const std::vector<Picture>& pictures, double width_mm, double height_mm) {
  const Picture *source = nullptr, *reference = nullptr;
  for (const Picture& picture : pictures) {
    if (picture.name == "later_top.jpg") source = &picture;
    if (picture.name == "top.jpg") reference = &picture;
  }
  if (source != nullptr && reference != nullptr) {
    std::printf("hard cases made from the demo's photos: later_top.jpg changed, onto top.jpg\n");
    hard_cases_of(*source, *reference, width_mm, height_mm, 1);
  }
  const std::filesystem::path sample = "/usr/share/doc/opencv-doc/examples/data/board.jpg";
  auto photo = std::filesystem::exists(sample) ? decode_full(sample) : Result<Raster>(Problem{"", "", "", "", Outcome::bad_input});
  if (!photo) return std::printf("hard cases made from a real photo: skipped (no board.jpg of Debian's opencv-doc)\n\n"), void();
  constexpr double px_per_mm = 8;  // any: only pixels are compared
  Picture real{"board.jpg", Side::top, std::move(*photo), {}};
  const double width = real.raster.width_px, height = real.raster.height_px;
  real.photo_from_board.rows = {px_per_mm, 0, 0, 0, -px_per_mm, height, 0, 0, 1};
  std::printf("hard cases made from a real photo of %.0f x %.0f px (board.jpg of opencv-doc), onto itself\n", width, height);
  hard_cases_of(real, real, width / px_per_mm, height / px_per_mm, 0.5);
}

// Photos of different boards, top against bottom, a board against a desk; and boards with the same parts
// in other places, which is what a shop's boards are to each other.
void wrong_part(const std::vector<Picture>& pictures) {
  std::printf("wrong pairings: each must be refused\n");
  std::vector<Picture> made_pictures;
  for (unsigned i = 0; i < 12; ++i) {
    const made::Board board = made::board_of(100 + i);
    const made::ShotPicture shot = made::take(board.rgb, {1600, 1200, 30.0 * i, 10, 20.0 * i, 1.0, 0, 0, 0, 0.6, 3});
    made_pictures.push_back({"made " + std::to_string(i), Side::top, raster_of(shot.rgb), {}});
  }
  for (unsigned i = 0; i < 4; ++i)
    made_pictures.push_back({"desk " + std::to_string(i), Side::top, raster_of(made::desk(i, {1600, 1200})), {}});
  std::vector<const Picture*> all;
  for (const Picture& p : pictures) all.push_back(&p);
  for (const Picture& p : made_pictures) all.push_back(&p);
  int pairs = 0, accepted = 0;
  double most = 0, seconds = 0;
  std::map<std::string, int> reasons;
  for (std::size_t a = 0; a < all.size() && pairs < 200; ++a)
    for (std::size_t b = 0; b < all.size() && pairs < 200; ++b) {
      const bool demo_a = a < pictures.size(), demo_b = b < pictures.size();
      if (a == b || (demo_a && demo_b && all[a]->side == all[b]->side)) continue;
      // Every demo pairing, and every other one of the rest: 200 in all.
      if (!demo_a && !demo_b && (a + b) % 2 == 0) continue;
      ++pairs;
      RegisteredPhoto reference = as_reference(*all[b]);
      const Run run = run_ours(all[a]->raster, {reference}, {}, 80, 50);
      seconds += run.seconds;
      most = std::max(most, run.confidence);
      if (run.found) ++accepted, std::printf("ACCEPTED %s onto %s, confidence %.2f\n", all[a]->name.c_str(), all[b]->name.c_str(), run.confidence);
      else ++reasons[run.refusal];
    }
  std::printf("%d wrong pairings: %d accepted; highest confidence %.3f; %.1f s;", pairs, accepted, most, seconds);
  for (const auto& [reason, count] : reasons) std::printf(" %s %d", reason.c_str(), count);
  std::printf("\n\n");
}

// Real pairs: each entry names two photos and points picked by hand in both, in pixels.
void pairs_part() {
  std::ifstream in(shared_dir / "photos/pairs.json");
  if (!in) {
    std::printf("real pairs: skipped (no %s)\n\n", "../shared/photos/pairs.json");
    return;
  }
  const Json document = Json::parse(in, nullptr, false);
  const Json& pairs = document.is_object() && document.contains("pairs") ? document["pairs"] : document;
  std::printf("real pairs, both ways; errors at the hand-made points\n");
  print_head();
  Total total;
  const auto photo_of = [](const Json& pair, const char* key) -> std::string { return pair.contains(key) ? pair[key].get<std::string>() : std::string{}; };
  for (const Json& pair : pairs)
    for (const bool swapped : {false, true}) {
      const std::string a = photo_of(pair, swapped ? "b" : "a"), b = photo_of(pair, swapped ? "a" : "b");
      const auto photo = decode_full(shared_dir / "photos" / a), reference = decode_full(shared_dir / "photos" / b);
      if (!photo || !reference || !pair.contains("points")) {
        std::printf("%s: skipped\n", (a + " onto " + b).c_str());
        continue;
      }
      // The reference's own pixels stand for the board: 1 px is 1 mm.
      std::vector<std::pair<PhotoPoint, BoardPoint>> points;
      for (const Json& point : pair["points"]) {
        const Json &pa = point[swapped ? "b" : "a"], &pb = point[swapped ? "a" : "b"];
        points.push_back({{pa[0], pa[1]}, {pb[0], -pb[1].get<double>()}});
      }
      RegisteredPhoto onto;
      onto.name = b;
      onto.registration.board_from_photo.rows = {1, 0, 0, 0, -1, 0, 0, 0, 1};
      onto.load = [&]() -> Result<Raster> { return *reference; };
      const auto hand_errors = [&](const auto& map) {
        std::vector<double> off;
        for (const auto& [at_photo, at_board] : points) {
          const auto there = map(at_board);
          off.push_back(there ? distance_px(*there, at_photo) : 1e6);
        }
        std::sort(off.begin(), off.end());
        return off.empty() ? Errors{} : Errors{off[off.size() / 2], off.back()};
      };
      Run ours, plain = run_plain(*photo, *reference, onto.registration.board_from_photo, {}, reference->width_px, reference->height_px);
      AutoRequest request;
      request.photo = &*photo;
      request.onto = {onto};
      const auto start = std::chrono::steady_clock::now();
      const AutoOutcome outcome = register_automatically(request);
      ours.seconds = seconds_since(start);
      if (const auto* report = std::get_if<AutoReport>(&outcome)) {
        ours.found = true;
        ours.confidence = report->confidence;
        ours.inliers = report->inliers, ours.tried = report->tried;
        const BoardMap map = board_map_of(report->registration);
        ours.errors = hand_errors([&](BoardPoint p) { return map.photo(p); });
      } else {
        ours.refusal = std::string(refusal_name(std::get<AutoRefusal>(outcome).reason));
      }
      print_case(a + " onto " + b, ours, plain);
      std::printf("%44s   median %.5f of the board's width\n", "", ours.errors.median_px / std::max(1, photo->width_px));
      total.add(ours, plain, 1e5);
    }
  total.print();
}

}  // namespace

int main(int argc, char** argv) {
  std::set<std::string> parts(argv + 1, argv + argc);
  if (parts.empty()) parts = {"pairs", "demo", "hard", "wrong"};
  double width_mm = 0, height_mm = 0;
  const std::vector<Picture> pictures = demo_pictures(width_mm, height_mm);
  if (parts.count("pairs")) pairs_part();
  if (parts.count("demo")) demo_part(pictures, width_mm, height_mm);
  if (parts.count("hard")) hard_part(pictures, width_mm, height_mm);
  if (parts.count("wrong")) wrong_part(pictures);
  return 0;
}
