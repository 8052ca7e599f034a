#include "parts.h"

namespace demo_board {
namespace {

constexpr Side top = Side::top, bottom = Side::bottom;

Part chip(Family family, bool large, std::string refdes, double x, double y, double deg, Side side,
          std::string marking = "") {
  Part p;
  p.refdes = std::move(refdes);
  p.family = family;
  p.package = large ? "0805 (imperial)" : "0603 (imperial)";
  p.pitch_mm = large ? 1.9 : 1.6;
  p.length_mm = large ? 2.0 : 1.6;
  p.width_mm = large ? 1.25 : 0.8;
  p.height_mm = family == Family::chip_resistor ? 0.5 : (large ? 1.1 : 0.8);
  p.at_mm = {x, y};
  p.rotation_deg = deg;
  p.side = side;
  p.marking = std::move(marking);
  return p;
}
Part r3(std::string n, double x, double y, double deg, std::string mark, Side s = top) {
  return chip(Family::chip_resistor, false, std::move(n), x, y, deg, s, std::move(mark));
}
Part r5(std::string n, double x, double y, double deg, std::string mark, Side s = top) {
  return chip(Family::chip_resistor, true, std::move(n), x, y, deg, s, std::move(mark));
}
Part c3(std::string n, double x, double y, double deg, Side s = top) {
  return chip(Family::chip_capacitor, false, std::move(n), x, y, deg, s);
}
Part c5(std::string n, double x, double y, double deg, Side s = top) {
  return chip(Family::chip_capacitor, true, std::move(n), x, y, deg, s);
}
Part soic(std::string n, int pins, double x, double y, double deg, std::string mark, Side s = top) {
  return {std::move(n), Family::dual_row, "SOIC-" + std::to_string(pins), pins, 1.27, 5.4, 3.9,
          pins == 8 ? 4.9 : 8.65, 1.5, {x, y}, deg, s, std::move(mark), "dot and bevel"};
}
Part tssop(std::string n, int pins, double x, double y, double deg, std::string mark, Side s = top) {
  return {std::move(n), Family::dual_row, "TSSOP-" + std::to_string(pins), pins, 0.65, 5.8, 4.4, 5.0,
          1.0, {x, y}, deg, s, std::move(mark), "dot"};
}
Part sot(std::string n, double x, double y, double deg, std::string mark, Side s = top) {
  return {std::move(n), Family::sot23, "SOT-23", 3, 1.9, 2.0, 1.3, 2.9, 1.0, {x, y}, deg, s, std::move(mark), ""};
}
Part sma(std::string n, double x, double y, double deg, std::string mark, Side s = top) {
  return {std::move(n), Family::diode, "SMA", 2, 4.2, 0, 4.3, 2.6, 2.1, {x, y}, deg, s, std::move(mark), "cathode band"};
}
Part sod(std::string n, double x, double y, double deg, std::string mark, Side s = top) {
  return {std::move(n), Family::diode, "SOD-123", 2, 3.3, 0, 2.7, 1.6, 1.1, {x, y}, deg, s, std::move(mark), "cathode band"};
}
Part led(std::string n, double x, double y, double deg) {
  return {std::move(n), Family::led, "0805 (imperial)", 2, 1.9, 0, 2.0, 1.25, 0.8, {x, y}, deg, top, "", "cathode notch"};
}
Part tantalum(std::string n, double x, double y, double deg, std::string mark, Side s = top) {
  return {std::move(n), Family::moulded_tantalum, "moulded 6032", 2, 5.0, 0, 6.0, 3.2, 2.6, {x, y}, deg, s, std::move(mark), "positive bar"};
}
Part can(std::string n, double x, double y, double deg, double size, std::string mark) {
  return {std::move(n), Family::can_electrolytic, size > 7 ? "can 8 mm" : "can 6.3 mm", 2, size * 0.86, 0,
          size + 0.3, size + 0.3, size > 7 ? 10.0 : 7.7, {x, y}, deg, top, std::move(mark), "minus segment"};
}
Part terminal(std::string n, int pins, double x, double y, double deg) {
  return {std::move(n), Family::screw_terminal, "screw terminal 5.08", pins, 5.08, 0, pins * 5.08 + 0.4, 9.6,
          10.0, {x, y}, deg, top, "", "square pad"};
}
Part test_point(std::string n, double x, double y, Side s) {
  return {std::move(n), Family::test_point, "pad 1.5 mm", 1, 0, 0, 1.5, 1.5, 0, {x, y}, 0, s, "", ""};
}

std::vector<Part> make_parts() {
  return {
      // top: power entry, upper left
      terminal("J1", 2, 17, 88.2, 180),
      {"F1", Family::fuse, "2410 (imperial)", 2, 5.6, 0, 6.1, 2.7, 2.2, {11, 76}, 90, top, "T2A 125V", ""},
      sma("D1", 19, 76.4, 90, "SM28"),
      can("C1", 12.5, 65, 90, 8, "220 35V"),
      can("C2", 23.5, 66, 90, 6.3, "47 35V"),
      {"U6", Family::quad_no_lead, "QFN-16", 16, 0.5, 2.9, 3, 3, 0.9, {29.5, 75}, 0, top, "B36 4K", "dot"},
      {"L1", Family::inductor, "shielded 7 mm", 2, 5.6, 0, 7.0, 7.0, 3.4, {38, 74.5}, 0, top, "100", ""},
      sma("D2", 30, 66.5, 0, "S34"),
      tantalum("C3", 39, 65.5, 0, "107 10V"),
      c5("C4", 30, 80.5, 0), c3("C5", 26, 79, 90), r3("R1", 33.6, 79.6, 90, "183"), r3("R2", 26, 71.2, 90, "472"),
      // top: outputs along the upper edge
      terminal("J2", 6, 52, 88.2, 180),
      sot("Q1", 49, 76.5, 0, "K2N"), sot("Q2", 56, 76.5, 0, "K2N"), sot("Q3", 63, 76.5, 0, "K2N"), sot("Q4", 70, 76.5, 0, "K2N"),
      sod("D3", 49, 71.2, 0, "W4"), sod("D4", 56, 71.2, 0, "W4"), sod("D5", 63, 71.2, 0, "W4"), sod("D6", 70, 71.2, 0, "W4"),
      r3("R3", 49, 67.3, 0, "102"), r3("R4", 56, 67.3, 0, "102"), r3("R5", 63, 67.3, 0, "102"), r3("R6", 70, 67.3, 0, "102"),
      led("D7", 75.5, 78, 90), r3("R7", 75.5, 73.5, 90, "331"),
      // top: sensor inputs
      terminal("J3", 6, 92, 88.2, 180),
      soic("U3", 14, 91, 69, 90, "LQ24A 6M3"),
      r3("R8", 84, 79, 90, "1002"), r3("R9", 88, 79, 90, "1002"), r3("R10", 92, 79, 90, "1002"), r3("R11", 96, 79, 90, "1002"),
      r3("R12", 100, 79, 90, "2491"), c3("C6", 83.5, 69, 90), c3("C7", 99.5, 69, 90),
      // top: display header and clock, right
      {"J4", Family::shrouded_header, "2x5 2.54 box header", 10, 2.54, 2.54, 20.2, 8.9, 8.8, {124, 87.4}, 0, top, "", "arrow and notch"},
      {"M1", Family::radio_module, "shielded module 18x22", 20, 1.8, 17.4, 18, 22, 2.8, {127, 57}, 0, top, "BW-RX2", "dot"},
      {"BT1", Family::coin_cell_holder, "20 mm coin cell holder", 2, 25.0, 0, 23.0, 21.0, 5.2, {122, 22}, 0, top, "3V", "plus sign"},
      soic("U2", 8, 100, 24, 0, "T3V RC8"), c3("C8", 100, 30, 0), r3("R13", 94.5, 30, 0, "103"),
      {"Y2", Family::crystal, "3.2x1.5", 2, 2.5, 0, 3.2, 1.5, 0.9, {100, 17.5}, 0, top, "32K", ""},
      sod("D8", 103, 36, 0, "B1"),
      // top: controller
      {"U1", Family::quad_flat, "LQFP-48", 48, 0.5, 8.5, 7, 7, 1.5, {72, 46}, 0, top, "BW48C2 1924", "dot"},
      {"Y1", Family::crystal, "5.0x3.2", 2, 4.2, 0, 5.0, 3.2, 1.1, {59, 48}, 90, top, "12.000", ""},
      c3("C9", 59, 54, 0), c3("C10", 59, 42, 0),
      c3("C11", 66, 54.5, 0), c3("C12", 80.5, 49, 90), c3("C13", 72, 36.6, 0), c5("C14", 79, 55, 0), r3("R14", 80.5, 42, 90, "103"),
      {"U4", Family::dual_row, "TSSOP-16", 16, 0.65, 5.8, 4.4, 5.0, 1.0, {91, 50}, 0, top, "M51 7T", "dot"},
      c3("C15", 91, 56.5, 0), r3("R15", 97.5, 53, 90, "222"), r3("R16", 97.5, 48, 90, "222"),
      {"J6", Family::pin_header, "1x6 2.54 header", 6, 2.54, 0, 15.2, 2.5, 8.5, {85, 33}, 0, top, "", "square pad"},
      // top: bus interface, lower left
      {"J5", Family::shrouded_header, "1x4 3.5 friction lock", 4, 3.5, 0, 16.0, 7.5, 8.0, {6.3, 43}, 270, top, "", "arrow"},
      soic("U5", 8, 27, 41, 0, "HV485 E2"),
      c3("C16", 33.2, 43.5, 90), r5("R17", 19.5, 47, 90, "121"), r3("R18", 19.5, 41.5, 90, "100"), r3("R19", 19.5, 36.5, 90, "100"),
      {"L2", Family::inductor, "shielded 4 mm", 2, 3.2, 0, 4.0, 4.0, 1.8, {40, 48}, 0, top, "4R7", ""},
      tantalum("C17", 42, 40, 180, "226 16V"),
      soic("U7", 8, 47, 55, 90, "EE64 3K"), c3("C18", 52.5, 55, 90), r3("R20", 47, 60.3, 0, "472"),
      // top: pump driver, bottom edge
      soic("U8", 14, 52, 24, 0, "PD14 X9"), c5("C19", 58.5, 28, 90), r5("R21", 45.5, 28, 90, "R220"), r5("R22", 45.5, 21, 90, "R220"),
      terminal("J7", 4, 42, 7.8, 0), terminal("J8", 4, 70, 7.8, 0),
      sma("D9", 64, 21, 90, "SM28"), sma("D10", 72, 21, 90, "SM28"), can("C20", 31, 23, 0, 8, "100 50V"),
      sot("Q5", 19.5, 24, 90, "P3L"), r3("R23", 19.5, 29, 0, "473"),
      led("D11", 80, 23, 90), r3("R24", 80, 18.5, 90, "102"),
      test_point("TP1", 12, 54, top), test_point("TP2", 86, 42, top), test_point("TP3", 94, 38.5, top), test_point("TP4", 25, 54, top),
      // bottom
      soic("U9", 8, 110, 46, 0, "OP2 7R", bottom), tssop("U10", 14, 84, 48, 90, "SR95 B", bottom),
      c3("C21", 110, 51.5, 0, bottom), c3("C22", 78, 48, 90, bottom), c3("C23", 72, 49, 0, bottom), c3("C24", 72, 44, 0, bottom),
      r3("R25", 91, 46, 90, "103", bottom), r3("R26", 94, 46, 90, "103", bottom), r3("R27", 97, 46, 90, "103", bottom),
      r3("R28", 91, 51, 90, "223", bottom), r3("R29", 94, 51, 90, "223", bottom),
      r5("R30", 33, 72, 0, "R100", bottom), c5("C25", 33, 76, 0, bottom), c5("C26", 40, 72, 90, bottom),
      tantalum("C27", 55, 66, 0, "476 10V", bottom), sot("Q6", 22, 48, 180, "P3L", bottom), sod("D12", 30, 48, 0, "B1", bottom),
      sod("D13", 30, 42, 180, "B1", bottom), r3("R31", 22, 42, 0, "473", bottom), sot("Q7", 50, 30, 0, "K2N", bottom),
      r3("R32", 44, 30, 90, "102", bottom), r3("R33", 57, 30, 90, "102", bottom),
      test_point("TP5", 64, 30, bottom), test_point("TP6", 70, 30, bottom), test_point("TP7", 76, 30, bottom),
      test_point("TP8", 82, 30, bottom), test_point("TP9", 118, 66, bottom), test_point("TP10", 124, 66, bottom),
  };
}

}  // namespace

const std::vector<Part>& parts() {
  static const std::vector<Part> list = make_parts();
  return list;
}

const std::vector<Target>& targets() {
  static const std::vector<Target> list = {
      {"FD1", {22, 5}, false, Side::top},      {"FD2", {140, 78.5}, false, Side::top},
      {"FD3", {4.5, 60.5}, false, Side::top},  {"FD4", {24, 5}, false, Side::bottom},
      {"FD5", {138, 78}, false, Side::bottom}, {"FD6", {4.5, 67}, false, Side::bottom},
      {"H1", {11.5, 10.5}, true, Side::top},   {"H2", {143, 5}, true, Side::top},
      {"H3", {141, 88}, true, Side::top},      {"H4", {5, 91}, true, Side::top},
  };
  return list;
}

const std::vector<Point>& outline_mm() {
  static const std::vector<Point> corners = {{12, 0}, {148, 0}, {148, 60}, {143, 60}, {143, 72}, {148, 72},
                                             {148, 91}, {143, 96}, {0, 96}, {0, 12}};
  return corners;
}

const char* family_name(Family family) {
  switch (family) {
    case Family::chip_resistor: return "chip resistor";
    case Family::chip_capacitor: return "chip capacitor";
    case Family::moulded_tantalum: return "moulded tantalum";
    case Family::can_electrolytic: return "can electrolytic";
    case Family::diode: return "diode";
    case Family::led: return "light-emitting diode";
    case Family::sot23: return "SOT-23";
    case Family::dual_row: return "dual row";
    case Family::quad_flat: return "quad flat";
    case Family::quad_no_lead: return "quad no-lead";
    case Family::screw_terminal: return "connector, screw terminal";
    case Family::pin_header: return "connector, pin header";
    case Family::shrouded_header: return "connector, shrouded header";
    case Family::coin_cell_holder: return "coin cell holder";
    case Family::inductor: return "inductor";
    case Family::fuse: return "fuse";
    case Family::crystal: return "crystal";
    case Family::test_point: return "test point";
    case Family::radio_module: return "module";
  }
  return "";
}

}  // namespace demo_board
