// Designators read from the print by hand: one key reads, one takes, one rejects, each taken name undoes alone; nothing
// is placed before a key says so.
#include <doctest/doctest.h>

#include "support/photographed_board.h"
#include "window/hands.h"

using namespace boardlore;

namespace {

std::size_t marks_on_board(Hands& hands) {
  std::size_t count = 0;
  hands.app().desk_view()->snapshot.layer->marks.each([&](const MarkPtr&) { ++count; });
  return count;
}

const ReadDesignator& asked(Hands& hands) { return hands.app().print_reader().proposals()[hands.app().print_reader().current()]; }

void print(int width, int height) {
  Hands hands(width, height, "print");
  std::filesystem::create_directories(hands.home() / "made");
  // A piece with a dozen names, or the reading would be most of the test.
  const PhotographedBoard board = photograph_board(hands.home() / "made/board", BoardPiece{44, 63, 78, 81});
  hands.app().open(board.dir);
  REQUIRE(hands.settle());
  hands.key(XK_d, {XK_Shift_L});
  if (!can_read_designators()) {
    MESSAGE("skipped: built without Tesseract, or its English data is not there");
    return;
  }
  REQUIRE(hands.settle());
  hands.shoot("1-proposed");
  const PrintReader& reader = hands.app().print_reader();
  const std::size_t proposed = reader.proposals().size();
  MESSAGE(proposed << " names proposed");
  REQUIRE(proposed >= 4);
  CHECK(marks_on_board(hands) == 0);
  for (std::size_t i = 1; i < proposed; ++i) CHECK(reader.proposals()[i].confidence <= reader.proposals()[i - 1].confidence);
  const Id photo = hands.app().state().pane[0].photo;
  CHECK(reader.is_asking(photo));

  // Enter takes the best one: a mark where the name stands, and nothing else.
  const ReadDesignator first = asked(hands);
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  CHECK(marks_on_board(hands) == 1);
  const MarkPtr taken = mark_called(hands, first.refdes);
  REQUIRE(taken);
  CHECK(distance_mm(taken->at, first.at) < 0.01);
  CHECK(reader.proposals().size() == proposed - 1);

  // Delete rejects the next; the mark that was taken stays.
  const std::string rejected = asked(hands).refdes;
  CHECK(rejected != first.refdes);
  hands.key(XK_Delete);
  REQUIRE(hands.settle());
  CHECK(marks_on_board(hands) == 1);
  CHECK_FALSE(mark_called(hands, rejected));
  CHECK(reader.proposals().size() == proposed - 2);
  hands.shoot("2-one-taken-one-rejected");

  // Undo takes back the one mark.
  hands.key(XK_z, {XK_Control_L});
  REQUIRE(hands.settle());
  CHECK(marks_on_board(hands) == 0);
  hands.key(XK_z, {XK_Control_L, XK_Shift_L});
  REQUIRE(hands.settle());
  CHECK(marks_on_board(hands) == 1);

  // One of the list by mouse, then the buttons.
  const std::string last = reader.proposals().back().refdes;
  hands.click("name-" + last);
  REQUIRE(hands.settle());
  CHECK(asked(hands).refdes == last);
  hands.shoot("3-chosen");
  hands.click("reject-name");
  REQUIRE(hands.settle());
  const std::string next = asked(hands).refdes;
  hands.click("take-name");
  REQUIRE(hands.settle());
  CHECK(marks_on_board(hands) == 2);
  CHECK(mark_called(hands, next));

  // While something is typed in a field (here the search: a board has no entry line), Enter and Delete are the field's.
  const std::size_t waiting = proposed - 4;
  REQUIRE(reader.proposals().size() == waiting);
  if (waiting > 0) {
    hands.key(XK_f, {XK_Control_L});
    hands.type("zz");
    hands.key(XK_Delete);
    hands.key(XK_BackSpace);
    hands.key(XK_BackSpace);
    REQUIRE(hands.settle());
    CHECK(reader.proposals().size() == waiting);
    hands.click("close-names");
    REQUIRE(hands.settle());
  }
  CHECK_FALSE(reader.is_asking(photo));
  CHECK(marks_on_board(hands) == 2);
}

}  // namespace

TEST_CASE("names read from the print at 1600x1000") { print(1600, 1000); }
TEST_CASE("names read from the print at 1280x720") { print(1280, 720); }
