// How many designators are read from the print of a board, and how many of those are right: prints a table.
//
// The demo board is drawn, and its layer holds the truth: right is a name that a part of that side has, read within
// 12 mm of its place (a label lies beside the part). The real photo is OpenCV's own sample of a sound card, 640 by
// 480 pixels (package opencv-doc), a sixth of what a bench photo has; its designators were listed by eye from the
// photo enlarged four times, those that the eye could not make out left out. Its scale is taken from a row of
// SO-8 leads (1.27 mm apart, JEDEC MS-012).
#include <chrono>
#include <cstdio>
#include <set>

#include "alignment/designator_reader.h"
#include "pictures/photo_file.h"
#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "support/places.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

struct Truth {
  std::string refdes;
  std::optional<BoardPoint> at;  // nullopt: by name alone
};

void table(const char* title, const std::vector<ReadDesignator>& read, const std::vector<Truth>& truth, double seconds) {
  std::printf("%s: %zu designators on the board, %zu read, %.1f s\n  least confidence   proposed   right   precision   recall\n", title, truth.size(), read.size(), seconds);
  for (const double least : {0.0, 0.3, 0.5, 0.6, 0.7, 0.8, 0.9}) {
    std::set<std::string> right;
    std::size_t proposed = 0, good = 0;
    for (const ReadDesignator& one : read) {
      if (one.confidence < least) continue;
      ++proposed;
      const bool is_right = std::any_of(truth.begin(), truth.end(), [&](const Truth& t) { return t.refdes == one.refdes && (!t.at || distance_mm(*t.at, one.at) < 12); });
      if (is_right) ++good, right.insert(one.refdes);
      else if (least == 0.5) std::printf("  wrong: %s (%.2f) at %.1f, %.1f\n", one.refdes.c_str(), one.confidence, one.at.x_mm, one.at.y_mm);
    }
    std::printf("  %16.2f %10zu %7zu %11.3f %8.3f\n", least, proposed, good, proposed ? static_cast<double>(good) / static_cast<double>(proposed) : 1.0,
                static_cast<double>(right.size()) / static_cast<double>(truth.size()));
    if (least == 0.5) {
      std::printf("  not read:");
      for (const Truth& t : truth)
        if (!right.contains(t.refdes)) std::printf(" %s", t.refdes.c_str());
      std::printf("\n");
    }
  }
}

void look_at(const char* title, const fs::path& file, const Registration& registration, const Board& board, Side side, const std::vector<Truth>& truth) {
  const Result<Raster> photo = decode_full(file);
  if (!photo) return void(std::printf("%s: %s\n", title, to_text(photo.problem()).c_str()));
  const auto start = std::chrono::steady_clock::now();
  const auto read = read_designators(*photo, registration, board, side);
  if (!read) return void(std::printf("%s: %s\n", title, to_text(read.problem()).c_str()));
  table(title, *read, truth, std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
}

}  // namespace

int main() {
  if (!can_read_designators()) return std::puts("skipped: built without Tesseract, or its English data is not there"), 0;
  const fs::path demo = places::source_dir() / "boards" / "brackenwick-gc12";
  const Result<Layer> layer = read_layer(*read_file(demo / "layer.json"), "layer.json");
  if (!layer) return std::puts("no demo board"), 1;
  for (const Photo& photo : layer->photos) {
    std::vector<Truth> truth;
    layer->marks.each([&](const MarkPtr& mark) {
      if (mark->side == photo.side && !mark->refdes.empty()) truth.push_back({mark->refdes, mark->at});
    });
    if (photo.registration) look_at(("demo board, " + std::string(side_name(photo.side))).c_str(), demo / photo.file, *photo.registration, layer->board, photo.side, truth);
  }
  const fs::path real = "/usr/share/doc/opencv-doc/examples/data/board.jpg";
  if (!fs::exists(real)) return std::puts("real photo: skipped, package opencv-doc is not there"), 0;
  const double px_per_mm = 7.2;
  Registration registration;
  registration.board_from_photo.rows = {1 / px_per_mm, 0, 0, 0, -1 / px_per_mm, 480 / px_per_mm, 0, 0, 1};
  registration.px_per_mm = px_per_mm;
  Board board;
  board.width_mm = 640 / px_per_mm, board.height_mm = 480 / px_per_mm;
  std::vector<Truth> truth;
  for (const char* name :
       {"U2",  "C42", "C53", "U3",  "R20", "R21", "C34", "C24", "R26", "R27", "R28", "R29", "C47", "C48", "C64", "C49", "C52", "R30", "D1",  "C35", "C33",
        "C36", "C45", "C38", "R58", "R56", "C80", "R59", "C79", "R33", "R34", "R37", "R39", "R42", "R46", "R48", "R51", "R52", "C60", "R32", "C62", "C68",
        "C70", "C73", "C74", "C66", "C67", "R40", "R41", "R43", "R45", "R49", "J5",  "X1",  "L3",  "R70", "R68", "FM4", "P3",  "C51", "R66", "R24", "C30",
        "C39", "R22", "R25", "C37", "P2",  "C28", "C40", "C41", "C54", "C55", "RP1", "C56", "R16", "R17", "R18", "R19", "C61", "R65", "R67", "R38", "C69",
        "C58", "C59", "C63", "R36", "C71", "R47", "R50", "R69", "R35", "R44", "U5",  "C72", "R55", "FM3", "C75", "C78", "R57", "R60", "R61", "R62", "C76",
        "C81", "C82", "U4",  "R31"})
    truth.push_back({name, std::nullopt});
  look_at("real photo (sound card, 640 x 480)", real, registration, board, Side::top, truth);
}
