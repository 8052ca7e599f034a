// Ten lines by the keyboard alone, ten verdicts; several lines pasted at once; the table of readings; the
// worst verdict in the worklist; limits and discharge in the card; what a job taught, asked after hand-back.
#include <doctest/doctest.h>

#include <SDL_clipboard.h>

#include "bench/entry_line.h"
#include "judging/judge.h"
#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "support/places.h"
#include "window/card_hands.h"
#include "window/hands.h"

using namespace boardlore;

namespace {

const Snapshot& now(Hands& hands) {
  static Snapshot kept;
  kept = hands.app().desk_view()->snapshot;
  return kept;
}

MarkPtr called(Hands& hands, const char* refdes) {
  const auto marks = find_marks(*now(hands).layer, refdes);
  return marks.empty() ? nullptr : marks.front();
}

// A board with a few parts and their limits, laid out without the window.
void lay_out(const std::filesystem::path& library) {
  std::filesystem::create_directories(library);
  std::filesystem::copy(places::source_dir() / "boards/brackenwick-gc12", library / "board");
  auto layer = read_layer(*read_file(library / "board/layer.json"), "layer.json");
  REQUIRE(layer);
  const auto limit = [&](const char* refdes, const char* pin, Quantity quantity, std::optional<double> low, std::optional<double> high) {
    layer->marks.each([&](const MarkPtr& mark) {
      if (mark->refdes != refdes) return;
      Mark changed = *mark;
      changed.limits.push_back({Id{"00000000-0000-7000-8000-0000000000" + std::to_string(10 + changed.limits.size())}, quantity, pin, std::nullopt, low, high, "made up for this test", {}});
      layer->marks = layer->marks.with(std::make_shared<const Mark>(changed));
    });
  };
  limit("U3", "7", Quantity::diode, 0.4, 0.6);
  limit("R1", "", Quantity::resistance, 9500, 10500);
  limit("F1", "", Quantity::resistance, std::nullopt, 1);
  REQUIRE(write_file_atomically(library / "board/layer.json", write_layer(*layer)));
  Session session = make_session("readings test");
  Job job;
  job.reported = "does not start";
  REQUIRE(Folder::create_job(library / "job", library / "board", job, session));
}

void readings(int width, int height) {
  Hands hands(width, height, "readings");
  lay_out(hands.home() / "made");
  hands.app().open(hands.home() / "made/job");
  REQUIRE(hands.settle());
  REQUIRE(hands.app().desk_view()->is_job());

  struct Typed {
    const char* line;
    Verdict verdict;  // of the point, in the end
    const char* refdes;
    const char* pin;
    Quantity quantity;
  };
  const std::vector<Typed> ten{{"U3.7 0.452 V diode", Verdict::within_limits, "U3", "7", Quantity::diode},
                               {"R1 10.2k", Verdict::within_limits, "R1", "", Quantity::resistance},
                               {"F1 0.3", Verdict::within_limits, "F1", "", Quantity::resistance},
                               {"C1 10.2k 10.9k 11.4k 12.0k", Verdict::charging, "C1", "", Quantity::resistance},
                               {"C2 0.2 ohm", Verdict::shorted, "C2", "", Quantity::resistance},
                               {"R2 OL", Verdict::open, "R2", "", Quantity::resistance},
                               {"R3 4k7", Verdict::nothing_to_compare, "R3", "", Quantity::resistance},
                               {"BT1 3.2V", Verdict::within_limits, "BT1", "", Quantity::voltage},
                               {"U3.8 52mV diode", Verdict::nothing_to_compare, "U3", "8", Quantity::diode},
                               {"R1 12,1 kohm", Verdict::high, "R1", "", Quantity::resistance}};
  hands.key(XK_space);
  for (std::size_t i = 0; i < ten.size(); ++i) {
    hands.type(ten[i].line);
    if (i == 4) hands.shoot("1-typing");
    hands.key(XK_Return);
    REQUIRE(hands.settle());
    CHECK_MESSAGE(hands.app().state().entry.empty(), std::string(ten[i].line));
  }
  hands.key(XK_Escape);

  // One hand on the keypad: the chosen mark's value, Enter, Enter for the next mark, its value.
  hands.key(XK_f, {XK_Control_L});
  hands.type("r4");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  REQUIRE(mark_called(hands, "R4")->id == hands.app().state().shown);
  const auto keypad = [&](std::initializer_list<KeySymbol> keys) {
    for (const KeySymbol key : keys) {
      hands.key(key);
      REQUIRE(hands.settle());
    }
  };
  keypad({XK_KP_4});  // moves a cursor, there is none
  CHECK(hands.app().state().entry.empty());
  keypad({XK_Num_Lock, XK_KP_4, XK_KP_Multiply, XK_KP_7});
  CHECK(hands.app().state().entry == "4*7");
  hands.shoot("1-keypad");
  keypad({XK_KP_Enter, XK_KP_Enter});
  CHECK(hands.app().state().shown == mark_called(hands, "R5")->id);
  keypad({XK_KP_1, XK_KP_0, XK_KP_Enter, XK_Num_Lock});
  hands.key(XK_Escape);
  const auto& keyed = now(hands).job->readings;
  REQUIRE(keyed.size() == 15);
  CHECK(keyed[13].refdes == "R4");
  CHECK(keyed[13].value == 4700);
  CHECK(keyed[14].refdes == "R5");
  CHECK(keyed[14].value == 10);
  for (int back = 0; back < 2; ++back) {
    hands.key(XK_z, {XK_Control_L});
    REQUIRE(hands.settle());
  }
  const Snapshot snapshot = now(hands);
  CHECK(snapshot.job->readings.size() == 13);  // nine of one value, one of four
  const auto judged = judge_job(*snapshot.layer, *snapshot.job, snapshot.job->readings.back().taken_at);
  for (const Typed& typed : ten) {
    if (std::string(typed.line) == "R1 10.2k") continue;  // the later, high one is this point's verdict
    const auto point = std::find_if(judged.begin(), judged.end(), [&](const JudgedPoint& p) {
      return p.point.refdes == typed.refdes && p.point.pin == typed.pin && p.point.quantity == typed.quantity;
    });
    REQUIRE_MESSAGE(point != judged.end(), std::string(typed.line));
    CHECK_MESSAGE(verdict_words(point->judgement.verdict) == verdict_words(typed.verdict), std::string(typed.line) << ": " << point->judgement.reason);
  }

  // The table: all of them, narrowed, sorted, written.
  hands.key(XK_m, {XK_Shift_L});
  REQUIRE(hands.settle());
  CHECK(hands.app().state().readings.rows.size() == 13);
  hands.shoot("2-table");
  hands.click("readings-out");
  REQUIRE(hands.settle());
  CHECK(hands.app().state().readings.rows.size() == 3);  // the short, the open, the high one
  hands.click("readings-by-point");
  REQUIRE(hands.settle());
  CHECK(hands.app().state().readings.rows.front().reading.refdes == "C2");
  hands.shoot("3-table-narrowed");
  hands.click("readings-csv");
  REQUIRE(hands.settle());
  const auto csv = read_file(hands.app().desk_view()->dir / "readings.csv");
  REQUIRE(csv);
  CHECK(std::count(csv->begin(), csv->end(), '\n') == 4);
  hands.click("readings-close");
  REQUIRE(hands.settle());

  // Several lines pasted: those understood are taken, the other stays to be mended.
  SDL_SetClipboardText("R5 4k7\r\nZZ nonsense here\nR6 10k\n");
  hands.key(XK_space);
  hands.key(XK_v, {XK_Control_L});
  hands.shoot("4-pasted");
  CHECK(lines_of(hands.app().state().entry).size() == 3);
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  CHECK(now(hands).job->readings.size() == 15);
  CHECK(hands.app().state().entry == "ZZ nonsense here");
  hands.key(XK_a, {XK_Control_L});
  hands.key(XK_BackSpace);
  hands.click("stage-Find");  // Escape would bring back what was typed
  REQUIRE(hands.settle());

  // Conditions of the job, set once; resistance with power on gets its caution while it is typed.
  hands.click("conditions");
  REQUIRE(hands.settle());
  hands.click("power-on");
  REQUIRE(hands.settle());
  for (const auto& [name, words] : {std::pair("red-lead", "TP1"), std::pair("black-lead", "J2.1"), std::pair("instrument", "Meter 1"), std::pair("ambient", "22 C")}) {
    hands.click(name);
    hands.type(words);
    hands.key(XK_Return);
    REQUIRE(hands.settle());
  }
  hands.shoot("4-conditions");
  CHECK(now(hands).job->defaults == Conditions{Power::on, "TP1", "J2.1", "Meter 1", "22 C"});
  hands.key(XK_space);
  hands.type("R5 4k7");
  REQUIRE(hands.settle());
  CHECK(hands.on_screen("entry-caution"));
  hands.shoot("4-caution");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  CHECK(now(hands).job->readings.back().conditions == now(hands).job->defaults);
  hands.type("R5 4k7 off");
  REQUIRE(hands.settle());
  CHECK_FALSE(hands.on_screen("entry-caution"));
  hands.key(XK_a, {XK_Control_L});
  hands.key(XK_BackSpace);
  hands.key(XK_Escape);
  hands.click("power-off");
  REQUIRE(hands.settle());
  CHECK(now(hands).job->defaults.power == Power::off);

  // What a marking can mean, beside the field it is typed in.
  hands.key(XK_f, {XK_Control_L});
  hands.type("r1");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  for (const auto& [marking, means] : {std::pair("worn off", false), std::pair("01C", true)}) {
    REQUIRE(seek(hands, "value"));  // in the stage of measuring what it read comes first
    hands.click("value");
    hands.key(XK_a, {XK_Control_L});
    hands.type(marking);
    hands.key(XK_Return);
    REQUIRE(hands.settle());
    CHECK(called(hands, "R1")->value == marking);
    CHECK(hands.on_screen("marking-meaning") == means);
  }
  hands.shoot("4-marking");

  // The card of a part: what it should read, from a template, edited, taken away by undo.
  hands.key(XK_f, {XK_Control_L});
  hands.type("bt1");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  hands.shoot("5-card");
  const auto scroll_card = [&](int notches) {
    hands.wheel(static_cast<float>(width) - 100, static_cast<float>(height) / 2 - 50, notches);
    REQUIRE(hands.settle());
  };
  if (height < 800) scroll_card(-8);
  hands.click("limit-templates");
  REQUIRE(hands.settle());
  hands.shoot("5-templates");
  hands.click("template-coin-cell");
  REQUIRE(hands.settle());
  REQUIRE(called(hands, "BT1")->limits.size() == 1);  // in the place of the board's own, for the same quantity
  CHECK(called(hands, "BT1")->limits[0].low == doctest::Approx(2.8));
  CHECK(called(hands, "BT1")->limits[0].source.find("no source") != std::string::npos);
  hands.click("limit-low-0");
  hands.key(XK_a, {XK_Control_L});
  hands.type("3.1 V");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  CHECK(called(hands, "BT1")->limits[0].low == doctest::Approx(3.1));
  hands.shoot("6-limits");

  // A capacitor let down: energy, time, power, cautions.
  hands.key(XK_f, {XK_Control_L});
  hands.type("c1");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  hands.click("discharge");
  REQUIRE(hands.settle());
  if (height < 800) scroll_card(-3);
  hands.click("discharge-capacitance");
  hands.type("470u");
  hands.click("discharge-from");
  hands.key(XK_a, {XK_Control_L});
  hands.type("325");
  REQUIRE(hands.settle());
  hands.shoot("7-discharge");
  hands.key(XK_Escape);
  hands.key(XK_z, {XK_Control_L});
  REQUIRE(hands.settle());
  CHECK(called(hands, "BT1")->limits[0].low == doctest::Approx(2.8));  // as the template has it
}

}  // namespace

TEST_CASE("ten lines typed, ten verdicts seen, at 1600x1000") { readings(1600, 1000); }
TEST_CASE("ten lines typed, ten verdicts seen, at 1280x720") { readings(1280, 720); }

TEST_CASE("what a job taught is asked after the hand-back") {
  Hands hands(1280, 720, "learn");
  lay_out(hands.home() / "made");
  {
    auto job = Folder::open(hands.home() / "made/job", make_session("learn"));
    REQUIRE(job);
    Job done = *job->now().job;
    const MarkPtr r1 = find_marks(*job->now().layer, "R1").front();
    Reading reading;
    reading.id = Id{"00000000-0000-7000-8000-000000000901"};
    reading.mark = r1->id, reading.refdes = "R1", reading.value = 10000, reading.typed = "10k";
    reading.taken_at = job->session().now();
    done.readings.push_back(reading);
    done.hand_back = HandBack{};
    done.hand_back->outcome = "fixed";
    done.hand_back->at = job->session().now();
    REQUIRE(job->commit(ChangeJob{done, "made"}));
    REQUIRE(job->save());
  }
  hands.app().open(hands.home() / "made/job");
  REQUIRE(hands.settle());
  hands.click("stage-Hand back");
  REQUIRE(hands.settle());
  hands.shoot("1-asked");
  hands.click("learn-keep");
  REQUIRE(hands.settle());
  CHECK_FALSE(hands.on_screen("learn-keep"));
  const auto layer = read_layer(*read_file(hands.home() / "made/board/layer.json"), "layer.json");
  REQUIRE(layer);
  CHECK(find_marks(*layer, "R1").front()->samples.size() == 1);
}
