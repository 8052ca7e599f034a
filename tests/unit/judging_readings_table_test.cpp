#include "judging/readings_table.h"

#include <doctest/doctest.h>

#include "judging/limit_plot.h"
#include "judging/limit_templates.h"

using namespace boardlore;

namespace {

Reading reading_of(const char* refdes, Quantity quantity, double value, const char* typed, std::int64_t at_s, const char* words = "") {
  Reading reading;
  reading.mark = Id{std::string("m-") + refdes};
  reading.refdes = refdes, reading.quantity = quantity, reading.value = value, reading.typed = typed, reading.words = words;
  reading.taken_at.ms = at_s * 1000;
  return reading;
}

}  // namespace

TEST_CASE("cells that a spreadsheet would run are made harmless, numbers stay numbers") {
  // Source: RFC 4180 section 2 for the quoting; the formula characters are common practice (= + - @, tab, CR).
  CHECK(csv_cell("=SUM(A1)") == "'=SUM(A1)");
  CHECK(csv_cell("@x") == "'@x");
  CHECK(csv_cell("+1") == "'+1");
  CHECK(csv_cell("-cmd") == "'-cmd");
  CHECK(csv_cell("-0.5") == "-0.5");
  CHECK(csv_cell("\tx") == "'\tx");
  CHECK(csv_cell("a,b") == "\"a,b\"");
  CHECK(csv_cell("say \"on\"") == "\"say \"\"on\"\"\"");
  CHECK(csv_cell("two\r\nlines") == "\"two\r\nlines\"");
  CHECK(csv_cell("=1,2") == "\"'=1,2\"");
}

TEST_CASE("the table sorts, filters and exports the readings of a job") {
  Layer layer;
  Job job;
  job.readings = {reading_of("C10", Quantity::resistance, 0.2, "0.2", 1), reading_of("C2", Quantity::resistance, 12e3, "12k", 2, "=evil"),
                  reading_of("TP1", Quantity::voltage, -0.5, "-0.5V", 3)};
  const auto names = [](const std::vector<ReadingRow>& rows) {
    std::string text;
    for (const ReadingRow& row : rows) text += row.reading.refdes + " ";
    return text;
  };
  CHECK(names(reading_rows(layer, job, {}, ReadingOrder::taken, false, {})) == "C10 C2 TP1 ");
  CHECK(names(reading_rows(layer, job, {}, ReadingOrder::taken, true, {})) == "TP1 C2 C10 ");
  CHECK(names(reading_rows(layer, job, {}, ReadingOrder::refdes, false, {})) == "C2 C10 TP1 ");
  CHECK(names(reading_rows(layer, job, {"", std::nullopt, true}, ReadingOrder::taken, false, {})) == "C10 ");
  CHECK(names(reading_rows(layer, job, {"volt", std::nullopt, false}, ReadingOrder::taken, false, {})) == "TP1 ");
  const std::string csv = readings_csv(reading_rows(layer, job, {}, ReadingOrder::taken, false, {}));
  CHECK(csv.find(",resistance,exact,12000,Ohm,12k,") != std::string::npos);
  CHECK(csv.find(",'=evil\r\n") != std::string::npos);
  CHECK(csv.find(",voltage,exact,-0.5,V,'-0.5V,") != std::string::npos);
  std::size_t lines = 0;
  for (std::size_t at = csv.find("\r\n"); at != std::string::npos; at = csv.find("\r\n", at + 2)) ++lines;
  CHECK(lines == 4);
}

TEST_CASE("a plot keeps its readings, its band and its ticks on the axis, in order") {
  Mark mark;
  mark.id = Id{"m-C2"}, mark.refdes = "C2";
  mark.limits.push_back({Id{"l"}, Quantity::resistance, "", std::nullopt, 1e3, std::nullopt, "common practice, no source", {}});
  mark.samples.push_back({Id{"s"}, Quantity::resistance, "", Qualifier::exact, 22e3, Power::off, {}, {}});
  std::vector<Reading> readings{reading_of("C2", Quantity::resistance, 12e3, "12k", 5), reading_of("C2", Quantity::resistance, 0.5, "0.5", 1), reading_of("C3", Quantity::resistance, 1, "1", 1)};
  readings.push_back(reading_of("C2", Quantity::resistance, 0, "OL", 9));
  readings.back().qualifier = Qualifier::overload;
  const LimitPlot plot = limit_plot(mark, readings, Quantity::resistance, "");
  CHECK(plot.log_axis);
  REQUIRE(plot.readings.size() == 3);
  CHECK(plot.readings[0].label == "0.5 Ω");
  CHECK(plot.readings[1].label == "12 kΩ");
  CHECK(plot.readings[2].off_axis);
  CHECK(plot.readings[0].place < plot.band_from);
  CHECK(plot.readings[1].place > plot.band_from);
  CHECK(plot.band_to == 1);
  REQUIRE(plot.sample_ticks.size() == 1);
  CHECK(plot.sample_ticks[0] > plot.readings[1].place);
  CHECK(plot.axis_low < 0.5);
  CHECK(plot.axis_high > 22e3);
  // The ends of the axis are plain numbers, whatever the prefix.
  for (const double value : {0.38, 0.62, 9.96, 98.0, 0.999}) {
    mark.limits.back() = {Id{"l"}, Quantity::diode, "", std::nullopt, value / 1.05, value, "", {}};
    const LimitPlot ends = limit_plot(mark, {}, Quantity::diode, "");
    for (const std::string& label : {ends.axis_low_label, ends.axis_high_label}) CHECK_MESSAGE(label.find('e') == std::string::npos, label);
  }
  CHECK(limit_plot(Mark{}, {}, Quantity::voltage, "").empty());
}

TEST_CASE("every template says where its numbers come from") {
  CHECK(limit_templates().size() == 6);
  for (const LimitTemplate& one : limit_templates()) {
    CHECK((one.low || one.high));
    CHECK_FALSE(one.source.empty());
    CHECK(find_limit_template(one.name) == &one);
  }
  CHECK(find_limit_template("no-such") == nullptr);
}
