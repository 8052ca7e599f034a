// A placement list by hand: dropped on a board that has only a photo, shown with what it is and what is refused, tied
// by clicking its parts on the photo (mirror and turn found, residual said), taken, undone; units and columns said over.
#include <doctest/doctest.h>

#include <fstream>

#include "support/photographed_board.h"
#include "window/hands.h"

using namespace boardlore;

namespace {

constexpr double mm_per_mil = 0.0254;

// The drawn board's own parts list (the outside witness) as a list drawn from below and turned: on it, x runs where
// the board's y does. By hand: board = (v - 10, u - 20), a mirror and a quarter turn. In mil, and it does not say so.
std::string list_from_below(const nlohmann::json& truth) {
  std::string text = "Placement of an invented board\nRef;Value;Mid X;Mid Y;Angle;Layer\n";
  for (const auto& part : truth["parts"]) {
    char line[160];
    const double u = part["at_mm"][1].get<double>() + 20, v = part["at_mm"][0].get<double>() + 10;
    std::snprintf(line, sizeof line, "%s;%s;%.2f;%.2f;30;%s\n", part["refdes"].get<std::string>().c_str(), "x", u / mm_per_mil, v / mm_per_mil,
                  part["side"] == "top" ? "T" : "B");
    text += line;
  }
  return text + "C1;x;1;1;0;T\nREF**;x;1;1;0;T\nR99;x;here;1;0;T\nTotal parts: 115\n";
}

bool says(const std::vector<std::string>& lines, const std::string& words) {
  return std::any_of(lines.begin(), lines.end(), [&](const std::string& line) { return line.find(words) != std::string::npos; });
}

const ListPreview& preview(Hands& hands) {
  REQUIRE(hands.app().list_preview());
  return *hands.app().list_preview();
}

std::size_t marks_on_board(Hands& hands) {
  std::size_t count = 0;
  hands.app().desk_view()->snapshot.layer->marks.each([&](const MarkPtr&) { ++count; });
  return count;
}

BoardPoint drawn_at(const nlohmann::json& truth, const std::string& refdes) {
  for (const auto& part : truth["parts"])
    if (part["refdes"] == refdes) return {part["at_mm"][0], part["at_mm"][1]};
  FAIL("no such part: " << refdes);
  return {};
}

// The part called for, where the drawing says it lies.
std::string click_called_part(Hands& hands, const PhotographedBoard& board, const nlohmann::json& truth) {
  const std::string name = hands.app().state().tying.name;
  REQUIRE_FALSE(name.empty());
  const ImVec2 at = hands.photo_to_screen(board.photo_from(drawn_at(truth, name)));
  hands.click_at(at.x, at.y);
  REQUIRE(hands.settle());
  return name;
}

void tie(int width, int height) {
  Hands hands(width, height, "list-tie");
  const nlohmann::json truth = drawn_truth();
  std::filesystem::create_directories(hands.home() / "made");
  const PhotographedBoard board = photograph_board(hands.home() / "made/board");
  hands.app().open(board.dir);
  REQUIRE(hands.settle());
  REQUIRE(marks_on_board(hands) == 0);
  std::ofstream(hands.home() / "from-below.csv") << list_from_below(truth);
  hands.drop({hands.home() / "from-below.csv"});
  REQUIRE(hands.settle());

  // Shown: what it is, what was inferred, what is refused; nothing to take before it is tied.
  hands.shoot("1-shown");
  CHECK(says(preview(hands).lines, "115 rows understood, 4 not"));
  CHECK(says(preview(hands).lines, "taken as mil"));
  CHECK(says(preview(hands).refused, "C1 stands on line"));
  CHECK(says(preview(hands).refused, "REF**"));
  CHECK(says(preview(hands).refused, "x is \"here\""));
  CHECK(says(preview(hands).refused, "line 121: only 1 cells"));
  CHECK(hands.on_screen("refused-rows"));
  CHECK(preview(hands).trouble.find("click two or three of its parts") != std::string::npos);
  hands.click("take-list");
  REQUIRE(hands.settle());
  REQUIRE(hands.app().list_preview());
  CHECK(marks_on_board(hands) == 0);

  // Two clicks fit either hand, and that is said; a third tells.
  hands.click("tie-list");
  REQUIRE(hands.settle());
  hands.shoot("2-first-part");
  const std::string first = click_called_part(hands, board, truth);
  CHECK_FALSE(preview(hands).trouble.empty());
  const std::string second = click_called_part(hands, board, truth);
  CHECK(second != first);
  CHECK(says(preview(hands).lines, "cannot tell whether the list is mirrored"));
  hands.shoot("3-two-parts");
  const std::string third = click_called_part(hands, board, truth);
  hands.shoot("4-three-parts");
  CHECK(preview(hands).trouble.empty());
  CHECK(says(preview(hands).lines, "tied by 3 parts: turned 90."));
  CHECK(says(preview(hands).lines, ", mirrored, scale "));
  CHECK_FALSE(says(preview(hands).lines, "the scale suggests"));
  CHECK(says(preview(hands).lines, "residual 0."));
  for (const std::string& name : {first, second, third})
    for (const auto& part : truth["parts"])
      if (part["refdes"] == name) CHECK_MESSAGE(part["side"] == "top", name);

  // A part clicked beside its place is named as what spoils the fit, and is taken back.
  hands.click("tie-filter");
  hands.type("c1");
  REQUIRE(hands.settle());
  hands.click("tie-C1");
  REQUIRE(hands.settle());
  CHECK(hands.app().state().tying.name == "C1");
  const BoardPoint right = drawn_at(truth, "C1");
  const ImVec2 beside = hands.photo_to_screen(board.photo_from({right.x_mm + 9, right.y_mm - 6}));
  hands.click_at(beside.x, beside.y);
  REQUIRE(hands.settle());
  hands.shoot("5-spoilt");
  CHECK(hands.on_screen("take-list"));
  CHECK(hands.on_screen("drop-list"));
  CHECK(says(preview(hands).lines, "C1 spoils the fit"));
  CHECK(preview(hands).trouble.find("does not fit") != std::string::npos);
  hands.click("untie-C1");
  REQUIRE(hands.settle());
  CHECK(preview(hands).trouble.empty());

  // Units said over: millimetres do not fit the clicked places' distances.
  hands.click("list-units-mm");
  REQUIRE(hands.settle());
  CHECK(says(preview(hands).lines, "the scale suggests that the list is in mil"));
  hands.shoot("6-wrong-units");
  hands.click("list-units-as said");
  REQUIRE(hands.settle());
  CHECK(says(preview(hands).lines, "taken as mil"));

  hands.click("take-list");
  REQUIRE(hands.settle());
  CHECK_FALSE(hands.app().list_preview());
  CHECK_FALSE(hands.app().state().tying.on);
  CHECK(marks_on_board(hands) == 115);
  hands.shoot("7-taken");
  double worst_mm = 0;
  for (const auto& part : truth["parts"]) {
    const MarkPtr mark = mark_called(hands, part["refdes"]);
    REQUIRE(mark);
    worst_mm = std::max(worst_mm, distance_mm(mark->at, {part["at_mm"][0], part["at_mm"][1]}));
    CHECK((mark->side == Side::bottom) == (part["side"] == "bottom"));
    // The list's 30 degrees, counted the other way from its x axis, which lies along the board's y: 90 - 30.
    CHECK(std::abs(std::remainder(mark->rotation_deg - 60, 360.0)) < 0.5);
  }
  MESSAGE("worst place of 115 parts tied by three clicks: " << worst_mm << " mm");
  CHECK(worst_mm < 0.5);
  hands.key(XK_z, {XK_Control_L});
  REQUIRE(hands.settle());
  CHECK(marks_on_board(hands) == 0);

  // Without a header and with columns that could be anything: refused with what to say, and understood once said.
  std::ofstream(hands.home() / "bare.csv") << "R1,1,10,20,5\nR2,1,40,20,5\nR3,2,10,60,5\n";
  hands.drop({hands.home() / "bare.csv"});
  REQUIRE(hands.settle());
  CHECK(preview(hands).trouble.find("--columns") != std::string::npos);
  hands.shoot("8-columns");
  hands.click("list-columns");
  hands.type("refdes,-,x,y,rotation");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  CHECK(says(preview(hands).lines, "3 rows understood"));
  hands.click("list-units-mm");
  REQUIRE(hands.settle());
  hands.click("list-same-frame");
  REQUIRE(hands.settle());
  CHECK(preview(hands).plan.added.size() == 3);
  hands.shoot("9-columns-said");
  hands.click("drop-list");
  REQUIRE(hands.settle());
  CHECK_FALSE(hands.app().list_preview());
  CHECK(marks_on_board(hands) == 0);
}

}  // namespace

TEST_CASE("a list is tied by clicking its parts at 1600x1000") { tie(1600, 1000); }
TEST_CASE("a list is tied by clicking its parts at 1280x720") { tie(1280, 720); }
