#include <doctest/doctest.h>

#include <cmath>

#include "import/ipc_d_356.h"

using namespace boardlore;

namespace {

const char* sample =
    "C  an invented board\n"
    "P  JOB   GREENHOUSE\n"
    "P  UNITS CUST 0\n"
    "317+3.3V            J13   -2    D0400PA00X+043550Y+006480\n"
    "317BSP_R0_B5        VIA         D0098PA00X+023895Y+022535\n"
    "327GND              C215  -2          A08X+050850Y+047799\n"
    "999\n";

Netlist read(std::string_view text, std::optional<NetlistUnit> unit = std::nullopt) {
  Result<Netlist> netlist = read_netlist(text, "board.ipc", unit);
  INFO((netlist ? std::string{} : to_text(netlist.problem())));
  REQUIRE(netlist);
  return *netlist;
}

bool says(const Netlist& netlist, std::string_view part) {
  for (const std::string& remark : netlist.remarks)
    if (remark.find(part) != std::string::npos) return true;
  return false;
}

}  // namespace

TEST_CASE("published test records read as published") {
  // Source: reference facts 6.1, sample lines [56] and their meaning.
  const Netlist netlist = read(sample);
  REQUIRE(netlist.points.size() == 3);
  CHECK(netlist.refused_count == 0);
  CHECK(netlist.job == "GREENHOUSE");
  const NetlistPoint& pin = netlist.points[0];
  CHECK(pin.refdes == "J13");
  CHECK(pin.pin == "2");
  CHECK(pin.net == "+3.3V");
  CHECK(pin.is_hole);
  CHECK(*pin.plated);
  CHECK(*pin.hole_mm == doctest::Approx(1.016));
  CHECK(pin.access == 0);
  CHECK_FALSE(side_of(pin, netlist));
  CHECK(pin.at.x_mm == doctest::Approx(110.617));
  CHECK(pin.at.y_mm == doctest::Approx(16.4592));
  const NetlistPoint& via = netlist.points[1];
  CHECK(via.is_via);
  CHECK(via.refdes.empty());
  CHECK(via.net == "BSP_R0_B5");
  CHECK(*via.hole_mm == doctest::Approx(0.24892));
  const NetlistPoint& pad = netlist.points[2];
  CHECK_FALSE(pad.is_hole);
  CHECK((side_of(pad, netlist) == Side::bottom));
  CHECK(pad.at.x_mm == doctest::Approx(129.159));
  CHECK(pad.at.y_mm == doctest::Approx(121.40946));
}

TEST_CASE("each column of a record is where the layout puts it") {
  // Source: column table of reference facts 6.1; every field filled, 80 columns.
  //                          1         2         3         4         5         6         7         8
  //                 12345678901234567890123456789012345678901234567890123456789012345678901234567890
  std::string line = "327NET_OF_14_CHR   CPU123-AB12MD0123UA01X-000100Y+000200X0300Y0400R090 S3      ";
  // The three blanks of columns 18-20 end where the designator of columns 21-26 starts.
  line.insert(19, " ");
  line = line.substr(0, 80);
  REQUIRE(line.substr(20, 6) == "CPU123");
  const Netlist netlist = read("P  UNITS CUST 1\n" + line + "\n999\n");
  REQUIRE(netlist.points.size() == 1);
  const NetlistPoint& point = netlist.points[0];
  CHECK(point.net == "NET_OF_14_CHR");
  CHECK(point.refdes == "CPU123");
  CHECK(point.pin == "AB12");
  CHECK(point.mid_point);
  CHECK(*point.hole_mm == doctest::Approx(0.123));
  CHECK_FALSE(*point.plated);
  CHECK(point.access == 1);
  CHECK((side_of(point, netlist) == Side::top));
  CHECK(point.at == ImportPoint{-0.1, 0.2});
  CHECK(*point.width_mm == doctest::Approx(0.3));
  CHECK(*point.height_mm == doctest::Approx(0.4));
  CHECK(*point.rotation_deg == doctest::Approx(90));
}

TEST_CASE("units follow the parameter, and doubtful ones are said") {
  const std::string record = "327GND              C215  -2          A01X+010000Y+020000\n";
  const struct {
    const char* parameter;
    double x_mm;
    const char* remark;
  } rows[] = {{"P  UNITS CUST 0\n", 25.4, ""},        {"P  UNITS CUST\n", 25.4, ""},
              {"P  UNITS CUST 1\n", 10, ""},          {"P  UNITS SI\n", 10, ""},
              {"P  UNITS CUST 2\n", 25.4, "radians"}, {"", 25.4, "no UNITS record"}};
  for (const auto& row : rows) {
    CAPTURE(row.parameter);
    const Netlist netlist = read(row.parameter + record + "999\n");
    CHECK(netlist.points[0].at.x_mm == doctest::Approx(row.x_mm));
    if (*row.remark) CHECK(says(netlist, row.remark));
  }
  CHECK(read("P  UNITS CUST 0\n" + record, NetlistUnit::mm_degrees).points[0].at.x_mm == doctest::Approx(10));
  CHECK(says(read(record), "no end record"));
  CHECK_FALSE(read_netlist("P  UNITS CUST 3\n" + record, "board.ipc"));
  CHECK_FALSE(read_netlist(record + "P  UNITS CUST 1\n" + record, "board.ipc"));
}

TEST_CASE("long nets, no net, and points that continue the last one") {
  const Netlist netlist = read(
      "P  UNITS CUST 1\nP  NNAME1  SENSOR_SUPPLY_FILTERED\n"
      "327NNAME1           U1    -1          A01X+001000Y+002000\n"
      "027                                   A01X+001500Y+002000\n"
      "327N/C              U1    -2          A01X+001000Y+003000\n"
      "378NNAME1         L01 X0001000Y0002000\n999\n");
  REQUIRE(netlist.points.size() == 3);
  CHECK(netlist.points[0].net == "SENSOR_SUPPLY_FILTERED");
  CHECK(netlist.points[1].net == "SENSOR_SUPPLY_FILTERED");
  CHECK(netlist.points[1].refdes == "U1");
  CHECK(netlist.points[1].pin == "1");
  CHECK(netlist.points[2].net.empty());
  CHECK(says(netlist, "1 conductor"));
}

TEST_CASE("records not understood are listed with line and reason") {
  const Netlist netlist = read(
      "P  UNITS CUST 1\n"
      "317GND              J1    -1    D04x0PA00X+001000Y+002000\n"
      "317GND              J1    -2    D0400PA00X 00A000Y+002000\n"
      "317GND              J1    -3    D0400PA00\n"
      "Hello there\n"
      "317GND              J1    -4    D0400PA00X+001000Y+002000\n"
      "999\n317GND              J1    -5    D0400PA00X+001000Y+002000\n");
  CHECK(netlist.points.size() == 1);
  REQUIRE(netlist.refused.size() == 5);
  CHECK(netlist.refused[0].line == 2);
  CHECK(netlist.refused[0].reason.find("34-37") != std::string::npos);
  CHECK(netlist.refused[2].reason.find("42-49") != std::string::npos);
  CHECK(netlist.refused[4].line == 8);
  CHECK_FALSE(read_netlist("P  JOB x\n999\n", "board.ipc"));
}

TEST_CASE("what is written reads back the same") {
  Netlist netlist = read(sample);
  for (NetlistPoint& point : netlist.points) {
    // Written to the micrometre.
    point.at = {std::round(point.at.x_mm * 1000) / 1000, std::round(point.at.y_mm * 1000) / 1000};
    if (point.hole_mm) point.hole_mm = std::round(*point.hole_mm * 1000) / 1000;
  }
  const Netlist again = read(write_netlist(netlist));
  REQUIRE(again.points.size() == netlist.points.size());
  for (std::size_t i = 0; i < again.points.size(); ++i) {
    CHECK(again.points[i].refdes == netlist.points[i].refdes);
    CHECK(again.points[i].net == netlist.points[i].net);
    CHECK(again.points[i].pin == netlist.points[i].pin);
    CHECK(again.points[i].access == netlist.points[i].access);
    CHECK(again.points[i].at.x_mm == doctest::Approx(netlist.points[i].at.x_mm));
    CHECK(again.points[i].at.y_mm == doctest::Approx(netlist.points[i].at.y_mm));
  }
}

TEST_CASE("a netlist is told from a table by its records") {
  CHECK(looks_like_netlist(sample));
  CHECK_FALSE(looks_like_netlist("Ref,X,Y\nC1,1,2\nP1,3,4\n"));
  CHECK_FALSE(looks_like_netlist(""));
}

TEST_CASE("a netlist is read however its writer spelt the parameters, and told from a table all the same") {
  // Common practice, no source: blanks, case, commas and encodings as writers differ in them.
  const std::string records = "327GND              C1    -1          A01X+009500Y+020000\n327+5V              C1    -2          A02X+010500Y+020000\n999\n";
  std::string wide = "\xFF\xFE";
  for (const char c : "P  UNITS CUST 1\n" + records) wide += c, wide += '\0';
  std::string windows;
  for (const char c : "P  UNITS CUST 1\n" + records) windows += c == '\n' ? "\r\n" : std::string(1, c);
  std::string padded = "P  UNITS CUST 1" + std::string(65, ' ') + "\n";
  for (std::size_t at = 0; at < records.size();) {
    const std::string line = records.substr(at, records.find('\n', at) - at);
    at += line.size() + 1;
    padded += line + std::string(80 - line.size(), ' ') + "\n";
  }
  const std::pair<const char*, std::string> files[] = {{"as the format says", "P  UNITS CUST 1\n" + records},
                                                       {"byte order mark", "\xEF\xBB\xBFP  UNITS CUST 1\n" + records},
                                                       {"UTF-16", wide},
                                                       {"carriage returns", windows},
                                                       {"filled to 80 columns", padded},
                                                       {"one blank", "C made by hand\nP JOB x\nP UNITS CUST 1\n" + records},
                                                       {"small letters", "c  made by hand\np  units cust 1\n" + records},
                                                       {"two blanks", "P  UNITS  CUST  1\n" + records},
                                                       {"a comma", "P  UNITS CUST, 1\n" + records},
                                                       {"tabs", "P\tUNITS\tCUST 1\n" + records},
                                                       {"rulers for comments", "C\nC----------\nP  UNITS CUST 1\n" + records}};
  for (const auto& file : files) {
    CAPTURE(file.first);
    CHECK(looks_like_netlist(file.second));
    const Netlist netlist = read(file.second);
    CHECK(netlist.refused_count == 0);
    REQUIRE(netlist.points.size() == 2);
    CHECK(netlist.points[0].at == ImportPoint{9.5, 20});
    CHECK(netlist.points[1].net == "+5V");
    CHECK((side_of(netlist.points[1], netlist) == Side::bottom));
    CHECK_FALSE(says(netlist, "no UNITS"));
  }
  CHECK_FALSE(looks_like_netlist("C1,10,20\nP2,30,40\n"));
}

TEST_CASE("a pin on two nets is said, and so are names too long for their columns") {
  const Netlist netlist = read(
      "P  UNITS CUST 1\n"
      "327GND              C1    -1          A01X+009500Y+020000\n"
      "327OTHER            C1    -1          A01X+009500Y+020000\n"
      "327GND              CONN12A-1          A01X+001000Y+001000\n999\n");
  CHECK(says(netlist, "C1.1 (GND, and OTHER on line 3)"));
  REQUIRE(netlist.refused.size() == 1);
  CHECK(netlist.refused[0].line == 4);
}
