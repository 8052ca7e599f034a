#include "judging/entry_line.h"

#include <doctest/doctest.h>

#include <cstring>
#include <memory>

#include "judging/designator.h"

using namespace boardlore;

namespace {

// An invented board with one of each sort of part.
Layer small_board() {
  Layer layer;
  int serial = 1;
  for (const char* name : {"C14", "C9", "C16", "U3", "BT1", "L2", "R5", "TP4", "J2", "D1", "Y1", "F1"}) {
    Mark mark;
    mark.id = Id{"0190000" + std::to_string(serial++)};
    mark.kind = std::strncmp(name, "TP", 2) == 0 ? MarkKind::probe : MarkKind::part;
    mark.refdes = name;
    layer.marks = layer.marks.with(std::make_shared<const Mark>(mark));
  }
  return layer;
}

EntryLine line_of(const Layer& layer, const std::string& text) {
  const ParsedEntry parsed = parse_entry_line(text, {&layer, {}});
  if (const auto* fault = std::get_if<EntryFault>(&parsed)) FAIL(text << ": " << fault->column << " " << fault->message);
  if (const auto* question = std::get_if<EntryQuestion>(&parsed)) FAIL(text << ": " << question->question);
  return std::get<EntryLine>(parsed);
}

}  // namespace

TEST_CASE("the lines a technician types are understood") {
  const Layer layer = small_board();
  struct Row {
    const char* text;
    const char* understood;
  };
  for (const Row& row : {Row{"C14 10.5k", "C14: resistance 10.5 kΩ, power off"},
                         Row{"C14 10k5", "C14: resistance 10.5 kΩ, power off"},
                         Row{"C14 10,5 kΩ", "C14: resistance 10.5 kΩ, power off"},
                         Row{"c14 10,5 k\u2126", "C14: resistance 10.5 kΩ, power off"},
                         Row{"C14 10.2k 10.9k 11.4k 12.0k", "C14: resistance 10.2 kΩ, 10.9 kΩ, 11.4 kΩ, 12.0 kΩ, power off"},
                         Row{"C14 10.5k rising", "C14: resistance 10.5 kΩ, power off, rising"},
                         Row{"C14 OL", "C14: resistance over range (OL), power off"},
                         Row{"U3.7 0.452 V diode", "U3 pin 7: diode 0.452 V, power off"},
                         Row{"U3.7 452mV diode", "U3 pin 7: diode 452 mV, power off"},
                         Row{"U3.A12 0.45V diode", "U3 pin A12: diode 0.45 V, power off"},
                         Row{"BT1 3.2V", "BT1: voltage 3.2 V, power off"},
                         Row{"L2 0.3", "L2: resistance 0.3 Ω, power off"},
                         Row{"C9 98n", "C9: capacitance 98 nF, power off"},
                         Row{"R5 4k7", "R5: resistance 4.7 kΩ, power off"},
                         Row{"TP4 12.03V on", "TP4: voltage 12.03 V, power on"},
                         Row{"J2.1 > 20M", "J2 pin 1: resistance > 20 MΩ, power off"},
                         Row{"U3 note lifted pad 7", "U3: note: lifted pad 7"},
                         Row{"U3 replaced", "U3: replaced"},
                         Row{"note came with a dent", "note on the job: came with a dent"},
                         Row{"TP4 3.30V on red TP4 black J2.1 after warming up", "TP4: voltage 3.30 V, power on, red on TP4, black on J2.1; after warming up"}})
    CHECK(understood(line_of(layer, row.text)) == row.understood);
}

TEST_CASE("what has two meanings is asked, and each choice has one") {
  const Layer layer = small_board();
  for (const char* text : {"C14 10", "C14 98m", "U3.7 0.452", "D1 0.55V", "C14 1,234k", "C14 10.2 10.9k", "TP4 5", "U3.7 OL", "Y1 12M", "U3.7 452 diode", "L2 10m", "TP4 5 after a word"}) {
    const ParsedEntry parsed = parse_entry_line(text, {&layer, {}});
    REQUIRE_MESSAGE(std::holds_alternative<EntryQuestion>(parsed), text);
    const auto& question = std::get<EntryQuestion>(parsed);
    CHECK(question.choices.size() >= 2);
    for (const EntryChoice& choice : question.choices) {
      INFO(text << " -> " << choice.line);
      CHECK(std::holds_alternative<EntryLine>(parse_entry_line(choice.line, {&layer, {}})));
    }
  }
}

TEST_CASE("a fault names the character and what would do there") {
  const Layer layer = small_board();
  struct Row {
    const char* text;
    std::size_t column;
    const char* accepted_has;
  };
  for (const Row& row : {Row{"", 1, "a designator"}, Row{"C14", 4, "a value"}, Row{"C14 10.5q", 9, "prefix"}, Row{"C14 10,5 kΩ 3µz", 14, "prefix"},
                         Row{"C15 10k", 1, "C14"}, Row{"hello", 1, "letters and a number"}, Row{"C14 1e3", 6, "power of ten"}, Row{"U3. 4k", 4, "pin"},
                         Row{"U3 note", 8, "words"}, Row{"C14 >", 6, "> 20M"}, Row{"C9 -98n", 4, "0 or more"}, Row{"C14 10k 3V", 9, "one quantity"},
                         Row{"C14 10k\x01", 8, "UTF-8"}, Row{"TP4 5V 3..", 10, "digit"}}) {
    const ParsedEntry parsed = parse_entry_line(row.text, {&layer, {}});
    REQUIRE_MESSAGE(std::holds_alternative<EntryFault>(parsed), row.text);
    const auto& fault = std::get<EntryFault>(parsed);
    INFO(row.text << ": " << fault.message << " / " << fault.accepted);
    CHECK(fault.column == row.column);
    CHECK(fault.accepted.find(row.accepted_has) != std::string::npos);
  }
}

TEST_CASE("the keypad alone is enough for a number: its signs are prefixes") {
  const Layer layer = small_board();
  // Prefixes of the SI brochure, 9th edition, table 7; which signs stand for them is our own.
  for (const auto& line : {std::pair("R5 4.7*", "R5 4.7k"), {"R5 > 20**", "R5 > 20M"}, {"C9 98///", "C9 98n"}, {"C9 47////", "C9 47p"}, {"C9 10//", "C9 10u"},
                                        {"TP4 452/V", "TP4 452mV"}, {"R5 4.7* 4.8*", "R5 4.7k 4.8k"}, {"R5 4*7", "R5 4k7"}, {"R5 4*7 Ω", "R5 4k7 Ω"}, {"R5 10,5*", "R5 10.5k"}})
    CHECK_MESSAGE(understood(line_of(layer, line.first)) == understood(line_of(layer, line.second)), std::string(line.first));
  for (const auto& wrong : {std::pair("R5 4.7***", 7U), {"R5 4.7*/", 7U}, {"R5 *4.7", 4U}, {"R5 4**7.5", 8U}}) {
    const ParsedEntry parsed = parse_entry_line(wrong.first, {&layer, {}});
    REQUIRE_MESSAGE(std::holds_alternative<EntryFault>(parsed), std::string(wrong.first));
    CHECK_MESSAGE(std::get<EntryFault>(parsed).column == wrong.second, std::string(wrong.first));
  }
}

TEST_CASE("the job's conditions hold until a line says otherwise") {
  const Layer layer = small_board();
  Conditions defaults;
  defaults.power = Power::on;
  defaults.instrument = "bench-1";
  const auto plain = std::get<EntryLine>(parse_entry_line("TP4 5V", {&layer, defaults}));
  CHECK(plain.conditions == defaults);
  const auto off = std::get<EntryLine>(parse_entry_line("TP4 5V off with hand-2", {&layer, defaults}));
  CHECK(off.conditions.power == Power::off);
  CHECK(off.conditions.instrument == "hand-2");
  const auto probed = std::get<EntryLine>(parse_entry_line("C14 10k", {&layer, defaults}));
  REQUIRE(probed.cautions.size() == 1);
  CHECK(probed.cautions[0].find("power on") != std::string::npos);
}

TEST_CASE("designators count on and keep their zeros") {
  CHECK(next_designator("C3") == "C4");
  CHECK(next_designator("C9") == "C10");
  CHECK(next_designator("C009") == "C010");
  CHECK(next_designator("R17A") == "R18");
  CHECK(next_designator("17").empty());
}
