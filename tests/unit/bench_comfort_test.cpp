// Settings, own keys, finding what can be done, the ruler and which way round: without a window.
#include <doctest/doctest.h>

#include <cmath>
#include <fstream>
#include <numbers>
#include <set>

#include "bench/bench_settings.h"
#include "bench/camera_command.h"
#include "bench/clipboard_text.h"
#include "bench/do_anything.h"
#include "bench/key_bindings.h"
#include "bench/ruler.h"
#include "bench/view_corner.h"
#include "storage/user_folders.h"
#include "support/temporary_folder.h"

using namespace boardlore;

namespace {

void write(const std::filesystem::path& file, const std::string& text) { std::ofstream(file, std::ios::binary) << text; }

const CommandRow& row_for(const std::vector<CommandRow>& rows, Command command) {
  for (const CommandRow& row : rows)
    if (row.command == command) return row;
  return rows.front();
}

}  // namespace

TEST_CASE("every command has a name of its own and no two share a key") {
  std::set<std::string> names, keys;
  for (const CommandRow& row : usual_keys()) {
    CHECK(!command_name(row.command).empty());
    CHECK_MESSAGE(names.insert(command_name(row.command)).second, command_name(row.command));
    const std::string key = std::to_string(row.key) + (row.ctrl ? " ctrl" : "") + (row.shift ? " shift" : "");
    CHECK_MESSAGE(keys.insert(key).second, key_words(row));
    const auto parsed = parse_key(key_words(row));
    REQUIRE_MESSAGE(parsed, key_words(row));
    CHECK(*parsed == Key{row.key, row.ctrl, row.shift});
  }
}

TEST_CASE("own keys are taken line by line, and what is wrong is said with its line") {
  const TemporaryFolder tmp;
  const auto file = tmp.path / "keys";
  std::vector<Problem> problems;
  CHECK(with_keys_of(file, usual_keys(), problems).size() == usual_keys().size());
  CHECK(problems.empty());
  // R turns a mark by default: given to the next step, turning is left without a key.
  write(file, "# a foot pedal\nnext-step = R\nturn-view = ctrl+shift+Right\nwrong line\nno-such = F5\nloupe = F99\nruler = R\nsave = none\n");
  const std::vector<CommandRow> rows = with_keys_of(file, usual_keys(), problems);
  CHECK(key_words(row_for(rows, Command::next_step)) == "R");
  CHECK(key_words(row_for(rows, Command::turn_mark)).empty());
  CHECK(key_words(row_for(rows, Command::turn_view)) == "Ctrl+Shift+→");
  CHECK(key_words(row_for(rows, Command::save)).empty());
  CHECK(key_words(row_for(rows, Command::ruler)) == "U");
  REQUIRE(problems.size() == 4);
  CHECK(problems[0].where == "line 4");
  CHECK(problems[1].found == "no-such");
  CHECK(problems[2].found == "F99");
  CHECK(problems[3].found.find("next-step") != std::string::npos);
}

TEST_CASE("settings and the window's place survive a restart; what is odd in a file is said and the rest counts") {
  const TemporaryFolder tmp;
  const auto file = tmp.path / "new folder" / "Einstellungen ä";
  Settings settings;
  settings.theme = ThemeName::high_contrast, settings.big_targets = settings.flash = true, settings.small_map = false, settings.meter = "tcp:127.0.0.1:5025";
  REQUIRE(bool(write_settings(file, settings)));
  std::vector<Problem> problems;
  CHECK(read_settings(file, problems) == settings);
  CHECK(problems.empty());
  write(file, "theme = pink\nflash = perhaps\nsound = yes\ncolour = red\n");
  CHECK(read_settings(file, problems).sound);
  CHECK(problems.size() == 3);
  CHECK(problems.front().where == "line 1");

  WindowMemory memory;
  memory.x = -20, memory.y = 40, memory.width = 1280, memory.height = 720, memory.card_folded = true, memory.first_steps_done = true;
  REQUIRE(bool(write_window_memory(file, memory)));
  CHECK(read_window_memory(file) == memory);
  write(file, "width = 99999999999\nheight = -3\nx = left\n");
  CHECK(read_window_memory(file) == WindowMemory{});
  CHECK(read_window_memory(tmp.path / "none") == WindowMemory{});
}

TEST_CASE("a few letters find what is meant") {
  CHECK(letters_fit("tv", "Turn the view right") > 0);
  CHECK(letters_fit("xq", "Turn the view right") == 0);
  CHECK(letters_fit("ruler", "Ruler: distance, angle, pitch") > letters_fit("ruler", "Turn the view right, later"));
  CHECK(letters_fit("bl", "before-lift") > letters_fit("bl", "symbol"));
  CHECK(*split_words("clearance . U3 --note 'a b'  \"\"") == std::vector<std::string>{"clearance", ".", "U3", "--note", "a b", ""});
  CHECK(!split_words("an 'open quote"));
}

TEST_CASE("the ruler measures on the board, turned and mirrored photos alike") {
  // 10 px a mm, the photo turned by 90 degrees to the right: board x runs down, board y to the right.
  Registration registration;
  registration.board_from_photo.rows = {0, 0.1, 0, 0.1, 0, 0, 0, 0, 1};
  const auto map = PhotoMap::from(registration);
  REQUIRE(bool(map));
  const RulerReading across = read_ruler({100, 100}, {100, 227}, 5, &*map);
  CHECK(across.length == doctest::Approx(12.7));
  CHECK(across.step == doctest::Approx(2.54));  // 0.1 inch
  CHECK(across.angle_deg == doctest::Approx(0));
  CHECK(read_ruler({100, 100}, {200, 100}, 1, &*map).angle_deg == doctest::Approx(90));
  CHECK(ruler_words(across) == "12.70 mm   0.0°");
  CHECK(pitch_words(across, 5) == "over 5: 2.540 mm");
  const RulerReading bare = read_ruler({0, 0}, {30, -40}, 1, nullptr);
  CHECK(bare.length == doctest::Approx(50));
  CHECK(!bare.in_mm);
  CHECK(bare.angle_deg == doctest::Approx(53.13).epsilon(0.001));
}

TEST_CASE("turned over as on the bench") {
  const double quarter = std::numbers::pi / 2;
  // Left to right: what points up stays up, what points right points left.
  CHECK(turned_over_rad(0, false) == doctest::Approx(0));
  CHECK(turned_over_rad(quarter, false) == doctest::Approx(-quarter));
  // Top to bottom: what points up points down, what points right stays.
  CHECK(std::fabs(turned_over_rad(0, true)) == doctest::Approx(2 * quarter));
  CHECK(turned_over_rad(quarter, true) == doctest::Approx(quarter));
  CHECK(turned_over_rad(turned_over_rad(0.3, true), true) == doctest::Approx(0.3));
  // A straight view stays straight, a free one is followed exactly.
  CHECK(view_turn_for(0, 0.05, 0) == doctest::Approx(0));
  CHECK(view_turn_for(0, 0.05, 0.2) == doctest::Approx(-0.05));
  CHECK(std::fabs(view_turn_for(2 * quarter, 0.05, quarter)) == doctest::Approx(2 * quarter));
  CHECK(attitude_words({0, false}) == "upright");
  CHECK(attitude_words({quarter, false}) == "90° to the right");
  CHECK(attitude_words({-2 * quarter, true}) == "upside down, mirrored");
}

TEST_CASE("copied text pastes as a table and runs nowhere") {
  Layer layer;
  layer.board.model = "GC-12";
  Mark mark;
  mark.id = Id{"m"}, mark.kind = MarkKind::part, mark.refdes = "C14", mark.value = "100n", mark.at = {12.5, 40};
  Note note;
  note.text = "lifted pad", mark.notes.push_back(note);
  note.text = "ask the owner again", note.internal = true, mark.notes.push_back(note);
  const std::string text = mark_text(layer, nullptr, mark, Timestamp{});
  CHECK(text.find("C14, part\nGC-12, top, x 12.50  y 40.00 mm\nvalue 100n\nlifted pad\n") == 0);
  CHECK(text.find("owner") == std::string::npos);
  ReadingRow row;
  row.reading.refdes = "=cmd()", row.value = "-3.2 V", row.judgement.reason = "two\tcells";
  const std::string table = readings_text({row});
  CHECK(std::count(table.begin(), table.end(), '\t') == 10);
  CHECK(table.find("\n'=cmd()\t") != std::string::npos);
  CHECK(table.find("\t-3.2 V\t") != std::string::npos);
}

TEST_CASE("the camera's command writes the photo, or says why there is none") {
  const TemporaryFolder tmp;
  const auto folder = tmp.path / "it's a folder";
  const auto taken = take_with_camera("printf x > %f", folder, {});
  REQUIRE(bool(taken));
  CHECK(std::filesystem::file_size(*taken) == 1);
  CHECK(!take_with_camera("exit 3 # %f", folder, {}));
  CHECK(take_with_camera("true %f", folder, {}).problem().found == "no file");
  CHECK(!take_with_camera("no place for the file", folder, {}));
}
