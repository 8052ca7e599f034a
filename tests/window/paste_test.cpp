// A picture, files and addresses copied in another program (xclip, a process of its own) come into the job by Ctrl+V,
// whatever was copied in the window before.
#include <doctest/doctest.h>

#include <SDL_timer.h>
#include <X11/keysym.h>

#include "bench/x11_selection.h"
#include "pictures/encode.h"
#include "storage/file_bytes.h"
#include "support/places.h"
#include "support/run_program.h"
#include "window/hands.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

const fs::path later = places::source_dir() / "boards" / "brackenwick-gc12" / "later-unit";

const Job& job_in(Hands& hands) { return *hands.app().desk_view()->snapshot.job; }

// xclip goes on by itself until somebody else copies, and its first part may end before it holds the clipboard.
void copied_elsewhere(const std::string& kind, const fs::path& file) {
  const unsigned long before = clipboard_owner();
  REQUIRE(run_shell("xclip -selection clipboard -t " + kind + " -i " + shell_quoted(file.string()) + " >/dev/null 2>&1").exit_code == 0);
  for (int i = 0; i < 250 && clipboard_owner() == before; ++i) SDL_Delay(20);
  REQUIRE(clipboard_owner() != before);
}

void paste(Hands& hands) {
  hands.key(XK_v, {XK_Control_L});
  REQUIRE(hands.settle());
  INFO(hands.app().last_message());
  CHECK(hands.app().last_message().find("Nothing to paste") == std::string::npos);
}

// Noise, so that it is large: what X hands over in pieces (beyond about a megabyte with xclip).
fs::path large_picture(const fs::path& file) {
  Raster raster;
  raster.width_px = 1000, raster.height_px = 700;
  std::mt19937 dice(3);
  raster.rgba.resize(std::size_t{4} * 1000 * 700);
  for (std::size_t i = 0; i < raster.rgba.size(); ++i) raster.rgba[i] = i % 4 == 3 ? std::uint8_t{255} : static_cast<std::uint8_t>(dice());
  REQUIRE(write_png(file, raster));
  REQUIRE(fs::file_size(file) > (2U << 20U));
  return file;
}

std::string bytes_of(const fs::path& file) {
  const auto bytes = read_file(file);
  REQUIRE(bytes);
  return *bytes;
}

}  // namespace

TEST_CASE("what another program copied is pasted into the job") {
  Hands hands(1280, 720, "paste");
  // A board without photos: none of those pasted goes looking for its place.
  const Session session = make_session("window test");
  Result<Folder> board = Folder::create_board(hands.home() / "board", Board{"Maker", "Model", "A", 100.0, 60.0, {}, {}}, session);
  REQUIRE(board);
  Mark part;
  part.id = session.new_id();
  part.kind = MarkKind::part;
  part.refdes = "U5";
  part.at = {20, 20};
  REQUIRE(board->commit(PlaceMark{part}));
  REQUIRE(board->save());
  REQUIRE(Folder::create_job(hands.home() / "job", hands.home() / "board", Job{}, make_session("window test")));
  hands.app().open(hands.home() / "job");
  REQUIRE(hands.settle());
  const auto free_hands = [&] {  // no registering of what came in
    for (int i = 0; i < 3; ++i) hands.key(XK_Escape);
    REQUIRE(hands.settle());
  };
  free_hands();

  // A picture's bytes, as they are.
  copied_elsewhere("image/jpeg", later / "later_before.jpg");
  paste(hands);
  REQUIRE(job_in(hands).photos.size() == 1);
  CHECK(bytes_of(hands.home() / "job" / job_in(hands).photos[0].file) == bytes_of(later / "later_before.jpg"));
  free_hands();

  // Marks copied here, then a large picture there: the last one counts, and it comes in pieces.
  hands.key(XK_f, {XK_Control_L});
  hands.type("U5");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  const unsigned long theirs = clipboard_owner();
  hands.key(XK_c, {XK_Control_L});
  REQUIRE(hands.settle());
  CHECK(clipboard_owner() != theirs);
  const fs::path large = large_picture(hands.home() / "large.png");
  copied_elsewhere("image/png", large);
  paste(hands);
  REQUIRE(job_in(hands).photos.size() == 2);
  CHECK(bytes_of(hands.home() / "job" / job_in(hands).photos[1].file) == bytes_of(large));
  hands.shoot("1-pictures");
  free_hands();

  // Files copied in a file manager, and a path copied as text.
  const fs::path list = hands.home() / "list", words = hands.home() / "words";
  std::ofstream(list) << "file://" << (later / "later_after.jpg").string() << "\r\n";
  copied_elsewhere("text/uri-list", list);
  paste(hands);
  CHECK(job_in(hands).photos.size() == 3);
  free_hands();
  std::ofstream(words) << (later / "later_top.jpg").string();
  copied_elsewhere("UTF8_STRING", words);
  paste(hands);
  CHECK(job_in(hands).photos.size() == 4);
  free_hands();

  // The same again comes in no second time; words are no picture, and that is said.
  paste(hands);
  CHECK(job_in(hands).photos.size() == 4);
  free_hands();
  std::ofstream(words, std::ios::trunc) << "C14 10k";
  copied_elsewhere("UTF8_STRING", words);
  hands.key(XK_v, {XK_Control_L});
  REQUIRE(hands.settle());
  CHECK(hands.app().last_message().find("Nothing to paste") != std::string::npos);
  CHECK(job_in(hands).photos.size() == 4);
}
