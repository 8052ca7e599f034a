// Alloys, package classes, floor life and chip sizes against published tables.
#include <doctest/doctest.h>

#include "judging/alloys.h"
#include "judging/moisture.h"
#include "judging/package_heat.h"
#include "judging/package_table.h"

using namespace boardlore;

TEST_CASE("solidus and liquidus of the usual alloys") {
  // Source: solder makers' published alloy tables (designations of J-STD-006 and ISO 9453).
  const struct { const char* name; double solidus_c, liquidus_c; } rows[] = {
      {"Sn63Pb37", 183, 183}, {"Sn62Pb36Ag2", 179, 179}, {"Sn50Pb50", 183, 212},    {"SAC305", 217, 220},   {"SAC387", 217, 220},
      {"SAC105", 215, 227},   {"SAC0307", 217, 228},     {"Sn96.5Ag3.5", 221, 221}, {"Sn99.3Cu0.7", 227, 227}, {"Bi58Sn42", 138, 138},
      {"Bi57Sn42Ag1", 139, 140}, {"In52Sn48", 118, 118}, {"In97Ag3", 143, 143},     {"Bi46Sn34Pb20", 96, 96}, {"Bi56Sn30In14", 79, 91},
      {"Sn95Sb5", 235, 240}};
  for (const auto& row : rows) {
    CAPTURE(row.name);
    const Alloy* alloy = find_alloy(row.name);
    REQUIRE(alloy);
    CHECK(alloy->solidus_c == row.solidus_c);
    CHECK(alloy->liquidus_c == row.liquidus_c);
    CHECK_FALSE(alloy->source.empty());
  }
  // Published tables give Sn60Pb40 a liquidus of 188 or 191; the higher one cannot promise too much.
  CHECK(find_alloy("60/40")->liquidus_c == 191);
}

TEST_CASE("alloys are found as people write them") {
  CHECK(find_alloy("sac 305") == find_alloy("Sn96.5Ag3.0Cu0.5"));
  CHECK(find_alloy("63/37") == find_alloy("leaded"));
  CHECK(find_alloy("Sn42Bi58") == find_alloy("Bi58Sn42"));
  CHECK(find_alloy("") == nullptr);
  CHECK(find_alloy("unobtainium") == nullptr);
  CHECK(makes_low_melting_phase(*find_alloy("Bi58Sn42"), *find_alloy("Sn63Pb37")));
  CHECK_FALSE(makes_low_melting_phase(*find_alloy("SAC305"), *find_alloy("Sn63Pb37")));
}

TEST_CASE("package classes: every cell of the lead-free table, and its edges") {
  // Source: IPC/JEDEC J-STD-020 table 4-2 as published (revision C; unchanged in D and E).
  const struct { double thickness, volume, class_c; } cells[] = {
      {1.0, 100, 260}, {1.0, 1000, 260}, {1.0, 3000, 260}, {2.0, 100, 260}, {2.0, 1000, 250}, {2.0, 3000, 245},
      {3.0, 100, 250}, {3.0, 1000, 245}, {3.0, 3000, 245}, {1.6, 1000, 250}, {2.5, 100, 260}, {2.0, 350, 250}, {2.0, 2000, 250}};
  for (const auto& cell : cells) CHECK(package_class_c(cell.thickness, cell.volume, SolderKind::lead_free) == cell.class_c);
  // Tin-lead, revision D and later: the range 220 to 235 is published, the cells are from memory.
  CHECK(package_class_c(2.0, 100, SolderKind::tin_lead) == 235);
  CHECK(package_class_c(2.0, 400, SolderKind::tin_lead) == 220);
  CHECK(package_class_c(2.5, 100, SolderKind::tin_lead) == 220);
}

TEST_CASE("floor life of the eight levels") {
  // Source: IPC/JEDEC J-STD-020 as makers publish it; levels 2, 5 and 5a from memory.
  const struct { const char* level; double hours; } rows[] = {{"2", 8760}, {"2a", 672}, {"3", 168}, {"4", 72}, {"5", 48}, {"5a", 24}};
  CHECK(floor_lives().size() == 8);
  for (const auto& row : rows) CHECK(find_floor_life(row.level)->hours == row.hours);
  CHECK_FALSE(find_floor_life("1")->hours);
  CHECK_FALSE(find_floor_life("6")->hours);
  CHECK(find_floor_life("MSL 5A") == find_floor_life("5a"));
  CHECK(find_floor_life("7") == nullptr);

  const Timestamp opened{1000};
  const auto after = [&](double hours) { return Timestamp{opened.ms + static_cast<std::int64_t>(hours * 3.6e6)}; };
  CHECK(floor_verdict("3", opened, after(168)).state == FloorState::within);
  CHECK(floor_verdict("3", opened, after(168.1)).state == FloorState::used_up);
  CHECK(floor_verdict("3", opened, after(41)).words == "MSL 3: 41.0 h of 168 h used");
  CHECK(floor_verdict("3", opened, after(-1)).state == FloorState::not_opened);
  CHECK(floor_verdict("3", std::nullopt, after(1)).state == FloorState::not_opened);
  CHECK(floor_verdict("1", opened, after(1e6)).state == FloorState::not_sensitive);
  CHECK(floor_verdict("6", opened, after(1)).state == FloorState::as_labelled);
  CHECK(floor_verdict("x", opened, after(1)).state == FloorState::unknown_level);
}

TEST_CASE("chip sizes, imperial and metric, never mixed up") {
  // Source: makers' published size tables (EIA inch codes and metric codes).
  const struct { const char* inch; const char* metric; double length, width; } rows[] = {
      {"01005", "0402", 0.4, 0.2}, {"0201", "0603", 0.6, 0.3},  {"0402", "1005", 1.0, 0.5}, {"0603", "1608", 1.6, 0.8},
      {"0805", "2012", 2.0, 1.25}, {"1206", "3216", 3.2, 1.6},  {"1210", "3225", 3.2, 2.5}, {"1812", "4532", 4.5, 3.2},
      {"2010", "5025", 5.0, 2.5},  {"2512", "6332", 6.3, 3.2}};
  for (const auto& row : rows) {
    CAPTURE(row.inch);
    const Package* inch = find_package(std::string(row.inch) + " (imperial)");
    const Package* metric = find_package(std::string(row.metric) + " metric");
    REQUIRE(inch);
    REQUIRE(metric);
    for (const Package* package : {inch, metric}) {
      CHECK(package->body_length_mm == row.length);
      CHECK(package->body_width_mm == row.width);
    }
    CHECK(find_package(row.inch) == inch);  // a bare code is read as imperial, and the name says so
  }
  CHECK(find_package("0603M")->body_length_mm == 0.6);
  CHECK(find_package("1608")->name == "1608 (metric)");
}

TEST_CASE("usual pitches, and every row of the table can be drawn and names its source") {
  // Source: maker-published pitches: DIP 2.54, SOIC 1.27; QFP, TSSOP, PLCC and SOT-23 from memory.
  CHECK(find_package("DIP-14")->pitch_mm == 2.54);
  CHECK(find_package("soic 8")->pitch_mm == 1.27);
  CHECK(find_package("TSSOP-20")->pitch_mm == 0.65);
  CHECK(find_package("PLCC-44")->pin1_mid_side);
  CHECK(find_package("SOT23")->pitch_mm == 0.95);
  for (const Package& package : common_packages()) {
    CAPTURE(package.name);
    CHECK_FALSE(package.source.empty());
    PackageWords words;
    words.name = package.name;
    CHECK(package_from_words(words));
  }
}

TEST_CASE("a package from a few words") {
  PackageWords words;
  words.name = "QFP", words.pins = 48, words.pitch_mm = 0.5, words.body_length_mm = 7, words.body_width_mm = 7;
  const auto quad = package_from_words(words);
  REQUIRE(quad);
  CHECK(quad->name == "QFP-48");
  CHECK(quad->span_mm == doctest::Approx(8.4));
  words.pins = 60, words.body_length_mm = 9, words.body_width_mm = 11, words.rows = 18, words.columns = 12;
  const auto oblong = package_from_words(words);
  REQUIRE(oblong);
  CHECK(oblong->span_mm == doctest::Approx(10.4));
  CHECK(oblong->span_y_mm == doctest::Approx(12.4));
  words = {};
  words.name = "TFBGA", words.rows = 9, words.columns = 12, words.pitch_mm = 0.8;
  CHECK(package_from_words(words)->family == PackageFamily::grid_array);
  CHECK(package_from_words(words)->pins == 108);
  words = {};
  words.name = "connector", words.pins = 6, words.pitch_mm = 1.25;
  CHECK(package_from_words(words)->family == PackageFamily::connector);
  words.name = "marmalade";
  CHECK_FALSE(package_from_words(words));
  words.name = "QFP", words.pins = 47;
  CHECK_FALSE(package_from_words(words));
}
