#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <sstream>

#include "import/placement_table.h"
#include "support/places.h"

using namespace boardlore;

namespace {

PlacementTable read(std::string_view text, const PlacementOptions& options = {}) {
  Result<PlacementTable> table = read_placement_table(text, "list.csv", options);
  INFO((table ? std::string{} : to_text(table.problem())));
  REQUIRE(table);
  return *table;
}

std::string refusal(std::string_view text, const PlacementOptions& options = {}) {
  const Result<PlacementTable> table = read_placement_table(text, "list.csv", options);
  return table ? "" : to_text(table.problem());
}

const PlacementRow* row(const PlacementTable& table, std::string_view refdes) {
  for (const PlacementRow& row : table.rows)
    if (row.refdes == refdes) return &row;
  return nullptr;
}

bool says(const PlacementTable& table, std::string_view part) {
  for (const std::string& remark : table.remarks)
    if (remark.find(part) != std::string::npos) return true;
  return false;
}

struct Dialect {
  const char* why;
  const char* text;
};

// The same three parts: C1 at (10, 20) mm, 90 degrees, top; R2 at (12.7, 5.08), 0, bottom; U3 at
// (25.4, 30.48), 270, top.
const Dialect dialects[] = {
    {"comma, header in plain words",
     "Designator,Value,Package,X (mm),Y (mm),Rotation,Side\nC1,100n,0603,10,20,90,Top\n"
     "R2,10k,0402,12.7,5.08,0,Bottom\nU3,TX-4410,SOIC-8,25.4,30.48,270,Top\n"},
    {"semicolon with decimal comma",
     "RefDes;PosX [mm];PosY "
     "[mm];Rot;Layer\nC1;10,0;20,0;90,0;T\nR2;12,7;5,08;0,0;B\nU3;25,4;30,48;270,0;T\n"},
    {"tab, mil in the header",
     "Ref\tMid X (mil)\tMid Y "
     "(mil)\tAngle\tTB\nC1\t393.7007874\t787.4015748\t90\tT\nR2\t500\t200\t0\tB\nU3\t1000\t1200\t270\tT\n"},
    {"bars, inches in the header",
     "REFDES|X_inch|Y_inch|ROT|SIDE\nC1|0.3937007874|0.7874015748|90|TopLayer\nR2|0.5|0.2|0|BottomLayer\nU3|"
     "1.0|1.2|270|TopLayer\n"},
    {"units in the cells, everything quoted",
     "\"Designator\",\"Footprint\",\"Mid X\",\"Mid Y\",\"Ref X\",\"Ref "
     "Y\",\"Layer\",\"Rotation\",\"Comment\"\n"
     "\"C1\",\"C0603\",\"10mm\",\"20mm\",\"9mm\",\"20mm\",\"T\",\"90.00\",\"100nF, X7R\"\n"
     "\"R2\",\"R0402\",\"500mil\",\"200mil\",\"490mil\",\"200mil\",\"B\",\"0.00\",\"10k\"\n"
     "\"U3\",\"SO8\",\"25.4mm\",\"30.48mm\",\"25mm\",\"30mm\",\"T\",\"-90.00\",\"a \"\"quoted\"\" word\"\n"},
    {"aligned blanks, header in a comment, unit in a comment",
     "### Module positions\n### Unit = mm, Angle = deg.\n# Ref     Val       Package        PosX       PosY  "
     "     Rot  Side\n"
     "C1        100n      C_0603      10.0000    20.0000   90.0000  top\nR2        10k       R_0402      "
     "12.7000     5.0800    0.0000  bottom\n"
     "U3        TX-4410   SOIC-8      25.4000    30.4800  270.0000  top\n## End\n"},
    {"report with a preamble and columns cut at fixed places, an empty cell",
     "Pick list of an invented board\n\n========================\nUnits used: mm\n\n"
     "Designator Comment     Layer  Footprint  Center-X  Center-Y  Rotation Description\n"
     "C1         \"100n X7R\"  Top    C0603      10.0000   20.0000   90       \"chip capacitor\"\n"
     "R2         10k         Bottom R0402      12.7000   5.0800    0        \n"
     "U3                     Top    SO8        25.4000   30.4800   270      \"regulator, 8 leads\"\n"},
    {"sides as F.Cu and B.Cu",
     "Reference,X,Y,Angle,Layer\nC1,10mm,20mm,90,F.Cu\nR2,12.7mm,5.08mm,0,B.Cu\nU3,25.4mm,30.48mm,270,F."
     "Cu\n"},
    {"sides as 0 and 1", "ref,x_mm,y_mm,rot,side\nC1,10,20,90,0\nR2,12.7,5.08,0,1\nU3,25.4,30.48,270,0\n"},
    {"sides as 1 and 2", "ref,x_mm,y_mm,rot,side\nC1,10,20,90,1\nR2,12.7,5.08,0,2\nU3,25.4,30.48,270,1\n"},
    {"a mirror column",
     "UUNITS = "
     "MILLIMETERS\nREFDES|SYM_X|SYM_Y|SYM_ROTATE|SYM_MIRROR\nC1|10|20|90|NO\nR2|12.7|5.08|0|YES\nU3|25.4|30."
     "48|270|NO\n"},
    {"a spreadsheet's separator line and byte order mark",
     "sep=;\nPart Reference;X mm;Y "
     "mm;Rotation;Side\nC1;10,00;20,00;90;oben\nR2;12,70;5,08;0;unten\nU3;25,40;30,48;270;oben\n"},
    {"micrometres",
     "Name,X (um),Y (um),R,Side\nC1,10000,20000,90,top\nR2,12700,5080,0,bottom\nU3,25400,30480,270,top\n"},
};

}  // namespace

TEST_CASE("every dialect of a placement table gives the same parts") {
  // Source: column, unit and side words of reference facts 6.2; the tables themselves are invented.
  for (const Dialect& dialect : dialects) {
    CAPTURE(dialect.why);
    for (const char* line_end : {"\n", "\r\n", "\r"}) {
      std::string text;
      for (const char* c = dialect.text; *c; ++c)
        text += *c == '\n' ? std::string(line_end) : std::string(1, *c);
      const PlacementTable table = read(text);
      CHECK(table.refused_count == 0);
      REQUIRE(table.rows.size() == 3);
      const struct {
        const char* name;
        double x, y, rotation;
        Side side;
      } truths[] = {{"C1", 10, 20, 90, Side::top},
                    {"R2", 12.7, 5.08, 0, Side::bottom},
                    {"U3", 25.4, 30.48, 270, Side::top}};
      for (const auto& truth : truths) {
        const PlacementRow* part = row(table, truth.name);
        REQUIRE(part);
        CHECK(part->at.x_mm == doctest::Approx(truth.x).epsilon(1e-7));
        CHECK(part->at.y_mm == doctest::Approx(truth.y).epsilon(1e-7));
        REQUIRE(part->rotation_deg);
        CHECK(*part->rotation_deg == doctest::Approx(truth.rotation));
        CHECK((part->side == truth.side));
      }
      CHECK_FALSE(table.unit_inferred);
    }
  }
}

TEST_CASE("a published row in mil reads as published") {
  // Source: reference facts 6.2 [62]: x = 2610.00 mil is 66.294 mm, y = 3560.00 mil is 90.424 mm.
  const PlacementTable table = read(
      "# RefDes, Description, Value, X, Y, rotation, top/bottom\n# X,Y in mils.  rotation in degrees.\n# "
      "----\n"
      "R61,\"0603\",\"10\",2610.00,3560.00,90,top\n");
  REQUIRE(table.rows.size() == 1);
  CHECK(table.rows[0].at.x_mm == doctest::Approx(66.294));
  CHECK(table.rows[0].at.y_mm == doctest::Approx(90.424));
  CHECK(table.rows[0].value == "10");
  CHECK(table.rows[0].line == 4);
}

TEST_CASE("text in UTF-16 or an eight-bit set is read and said") {
  std::string wide = "\xFF\xFE";
  for (const char c : std::string("Ref,X (mm),Y (mm)\nC1,1,2\n")) wide += c, wide += '\0';
  const PlacementTable table = read(wide);
  CHECK(table.rows.size() == 1);
  CHECK(says(table, "UTF-16"));
  const PlacementTable unmarked = read(std::string_view(wide).substr(2));
  CHECK(unmarked.rows.size() == 1);
  const PlacementTable latin = read(
      "Ref,Value,X (mm),Y (mm)\nC1,10\xB5"
      "F,1,2\n");
  CHECK(latin.rows[0].value ==
        "10\xC2\xB5"
        "F");
  CHECK(says(latin, "Windows-1252"));
}

TEST_CASE("rows not understood are listed with line and reason, the others taken") {
  const PlacementTable table = read(
      "Designator,X (mm),Y (mm),Rotation,Side\n"
      "C1,1,2,90,T\n"
      "REF**,1,2,0,T\n"
      "C2,one,2,0,T\n"
      "C3,1,2,0,left\n"
      "C4,1,2,quarter,T\n"
      "C1,5,6,0,T\n"
      "C5,1,2,0,T,extra\n"
      "C6,1\n"
      "C7,99999999,2,0,T\n"
      "\"C8,1,2,0,T\n"
      "C9,3,4,,B\n");
  CHECK(table.rows.size() == 2);
  CHECK(row(table, "C9")->line == 12);
  CHECK_FALSE(row(table, "C9")->rotation_deg);
  REQUIRE(table.refused.size() == 9);
  CHECK(table.refused_count == 9);
  std::vector<int> lines;
  for (const RefusedRow& refused : table.refused) {
    lines.push_back(refused.line);
    CHECK_FALSE(refused.reason.empty());
  }
  std::sort(lines.begin(), lines.end());
  CHECK(lines == std::vector<int>{3, 4, 5, 6, 7, 8, 9, 10, 11});
}

TEST_CASE("what the table does not say is inferred aloud and can be overridden") {
  const char* small = "Ref,X,Y\nC1,10,20\nC2,60,40\n";
  const PlacementTable mm = read(small);
  CHECK((mm.unit == LengthUnit::mm));
  CHECK(mm.unit_inferred);
  CHECK(says(mm, "no unit is said; taken as mm"));
  CHECK(says(mm, "no side column"));
  CHECK(says(mm, "no rotation column"));
  PlacementOptions inches;
  inches.unit = LengthUnit::inch;
  CHECK(read(small, inches).rows[0].at.x_mm == doctest::Approx(254));
  const PlacementTable mil = read("Ref,X,Y\nC1,100,200\nC2,2600,1400\n");
  CHECK((mil.unit == LengthUnit::mil));
  CHECK(says(mil, "taken as mil"));
  CHECK(says(read("Ref;X (mm);Y (mm)\nC1;1,234;2,345\n"), "two ways"));
  PlacementOptions point;
  point.decimal = DecimalSign::point;
  CHECK(read("Ref;X (mm);Y (mm)\nC1;1,234;2,345\n", point).rows[0].at.x_mm == doctest::Approx(1234));
}

TEST_CASE("a table without a header is taken by its content, or refused where that is not clear") {
  const PlacementTable table = read("C1 12.34 56.78 90 100n C0603\nC2 22.34 56.78 0 1u C0805\n");
  CHECK(row(table, "C2")->at.x_mm == doctest::Approx(22.34));
  CHECK(*row(table, "C1")->rotation_deg == doctest::Approx(90));
  CHECK(says(table, "no header line"));
  CHECK(refusal("C1,1,2,3,4,5\nC2,1,2,3,4,5\n").find("--columns") != std::string::npos);
  PlacementOptions named;
  named.columns = {"refdes", "-", "x", "y"};
  CHECK(row(read("C1,7,1,2\nC2,7,3,4\n", named), "C2")->at.y_mm == doctest::Approx(4));
}

TEST_CASE("what is no table is refused with what it is") {
  CHECK(refusal("").find("nothing but blanks") != std::string::npos);
  CHECK(refusal("PK\x03\x04 and so on").find("spreadsheet") != std::string::npos);
  CHECK(refusal("%PDF-1.7 and so on").find("PDF") != std::string::npos);
  CHECK(refusal("A letter to the owner.\nIt has no columns.\n").find("header") != std::string::npos);
  CHECK(refusal("Ref,X (mm),Y (mil)\nC1,1,2\n").find("one unit") != std::string::npos);
  CHECK(refusal("Ref,X,Y\n").find("rows with a designator") != std::string::npos);
  CHECK(refusal(std::string("Ref,X,Y\nC1,1\0,2\n", 16)).find("zero byte") != std::string::npos);
  CHECK(refusal(std::string(max_import_bytes + 1, 'x')).find("64 MiB") != std::string::npos);
}

TEST_CASE("more ways of writing the same two parts") {
  // Invented tables; their habits are common practice, no source. C1 at (10, 20), 90, top; R2 at (12.7, 5.08), 0, bottom.
  const std::string utf16 = "Ref,X (mm),Y (mm),Rot,Side\nC1,10,20,90,T\nR2,12.7,5.08,0,B\n";
  std::string big_endian = "\xFE\xFF";
  for (const char c : utf16) big_endian += '\0', big_endian += c;
  const std::pair<const char*, std::string> tables[] = {
      {"byte order mark", "\xEF\xBB\xBF" + utf16},
      {"UTF-16, big-endian", big_endian},
      {"thousands marks", "Ref;X (um);Y (um);Rot;Side\nC1;10.000,0;20.000,0;90;T\nR2;12.700,0;5.080,0;0;B\n"},
      {"decimal commas in quotes between commas", "Ref,X (mm),Y (mm),Rot,Side\nC1,\"10,0\",\"20,0\",\"90,0\",T\nR2,\"12,7\",\"5,08\",\"0,0\",B\n"},
      {"single quotes", "'Ref','X (mm)','Y (mm)','Rot','Side'\n'C1','10','20','90','T'\n'R2','12.7','5.08','0','B'\n"},
      {"units in a line of their own", "Ref,X,Y,Rot,Side\n,inch,inch,deg,\nC1,0.3937007874,0.7874015748,90,T\nR2,0.5,0.2,0,B\n"},
      {"units in brackets in a line of their own", "Ref\tX\tY\tRot\tSide\n\t[mil]\t[mil]\t\t\nC1\t393.7007874\t787.4015748\t90\tT\nR2\t500\t200\t0\tB\n"},
      {"a unit in a comment of semicolons", "; Units: inch\nRef X Y Rot Side\nC1 0.3937007874 0.7874015748 90 T\nR2 0.5 0.2 0 B\n"},
      {"radians", "Ref,X (mm),Y (mm),Rotation (rad),Side\nC1,10,20,1.570796327,T\nR2,12.7,5.08,0,B\n"},
      {"clockwise in the header", "Ref,X (mm),Y (mm),Rotation (CW),Side\nC1,10,20,270,T\nR2,12.7,5.08,0,B\n"},
      {"clockwise in a comment", "# Rotations in degrees, clockwise\nRef,X (mm),Y (mm),Rotation,Side\nC1,10,20,-90,T\nR2,12.7,5.08,0,B\n"},
      {"counter-clockwise in a comment", "# Rotations counter-clockwise\nRef,X (mm),Y (mm),Rotation,Side\nC1,10,20,450,T\nR2,12.7,5.08,360,B\n"},
      {"degree signs", "Ref,X (mm),Y (mm),Rot,Side\nC1,10,20,90\xC2\xB0,T\nR2,12.7,5.08,0 deg,B\n"},
      {"powers of ten", "Ref,X (mm),Y (mm),Rot,Side\nC1,1.0e1,2.0E+01,90,T\nR2,1.27e1,5.08,0,B\n"},
      {"two units side by side", "Ref,X (mm),Y (mm),X (mil),Y (mil),Rot,Side\nC1,10,20,393.7,787.4,90,T\nR2,12.7,5.08,500,200,0,B\n"},
      {"a reference point before the centre", "Ref,Ref X (mm),Ref Y (mm),Center X (mm),Center Y (mm),Rot,Side\nC1,9,19,10,20,90,T\nR2,11,4,12.7,5.08,0,B\n"},
      {"part and location", "PARTNAME,LOCATION,X (mm),Y (mm),ANGLE,FACE\n100n,C1,10,20,90,TOP\n10k,R2,12.7,5.08,0,BOT\n"},
      {"words for both sides", "Ref,X (mm),Y (mm),Rot,Side\nC1,10,20,90,SMT TOP\nR2,12.7,5.08,0,Copper_Bottom\n"},
      {"French, eight bits", "R\xE9" "f\xE9" "rence;Position X (mm);Position Y (mm);Rotation;Face\nC1;10,0;20,0;90;Dessus\nR2;12,7;5,08;0;Dessous\n"},
      {"German, eight bits", "Bauteil;X-Koordinate [mm];Y-Koordinate [mm];Drehwinkel;Best\xFC" "ckseite\nC1;10,0;20,0;90;oben\nR2;12,7;5,08;0;unten\n"},
      {"an end mark of old systems, a trailing delimiter", "Ref,X (mm),Y (mm),Rot,Side,\nC1,10,20,90,T,\nR2,12.7,5.08,0,B,\n\x1A"},
  };
  for (const auto& one : tables) {
    CAPTURE(one.first);
    const PlacementTable table = read(one.second);
    CHECK(table.refused_count == 0);
    REQUIRE(table.rows.size() == 2);
    CHECK(table.rows[0].at.x_mm == doctest::Approx(10).epsilon(1e-7));
    CHECK(table.rows[0].at.y_mm == doctest::Approx(20).epsilon(1e-7));
    CHECK(table.rows[0].rotation_deg.value_or(-1) == doctest::Approx(90).epsilon(1e-6));
    CHECK((table.rows[0].side == Side::top));
    CHECK(table.rows[1].at.x_mm == doctest::Approx(12.7).epsilon(1e-7));
    CHECK(table.rows[1].at.y_mm == doctest::Approx(5.08).epsilon(1e-7));
    CHECK(table.rows[1].rotation_deg.value_or(-1) == doctest::Approx(0));
    CHECK((table.rows[1].side == Side::bottom));
    CHECK_FALSE(table.unit_inferred);
  }
  CHECK(says(read("Ref,X (mm),Y (mm),Rotation (CW)\nC1,1,2,30\n"), "clockwise"));
  CHECK(says(read("Ref,X (mm),Y (mm),Rotation (rad)\nC1,1,2,1\n"), "radians"));
}

TEST_CASE("doubtful rows are refused with the reason, never taken in silence") {
  const std::string head = "Ref,X (mm),Y (mm),Rot,Side\n", good = "R1,1,2,0,T\n";
  const std::pair<std::string, const char*> rows[] = {
      {"Total: 115 parts\n", "is missing"},          {"\"C1,C2\",1,2,0,T\n", "not a designator"}, {"C1,1,2,R90,T\n", "not an angle"},
      {"C1,1,2,9000,T\n", "not an angle"},           {"C1,1,2,0,Left\n", "neither top nor bottom"}, {"C1,1,2,0,top or bottom\n", "neither top nor bottom"},
      {"C1,1,5,2,5,0,0,T\n", "8 cells where the header has 5"}, {"r1,5,6,0,T\n", "stands on line 2 already"},   {"C1,1 furlong,2,0,T\n", "not a length"},
  };
  for (const auto& one : rows) {
    CAPTURE(one.first);
    const PlacementTable table = read(head + good + one.first);
    CHECK(table.rows.size() == 1);
    REQUIRE(table.refused.size() == 1);
    CHECK(table.refused[0].line == 3);
    CHECK(table.refused[0].reason.find(one.second) != std::string::npos);
  }
}

TEST_CASE("real tables are understood, or refused with a reason") {
  const std::filesystem::path folder = places::shared_dir() / "placements";
  if (!std::filesystem::is_directory(folder)) {
    std::cout << "skipped: no folder of real placement tables\n";
    return;
  }
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    if (!entry.is_regular_file()) continue;
    std::ifstream in(entry.path(), std::ios::binary);
    std::stringstream bytes;
    bytes << in.rdbuf();
    const Result<PlacementTable> table = read_placement_table(bytes.str(), entry.path().filename().string());
    std::cout << (table ? entry.path().filename().string() + ": " + std::to_string(table->rows.size()) +
                              " parts, " + std::to_string(table->refused_count) + " rows refused"
                        : to_text(table.problem()))
              << "\n";
    if (!table) CHECK_FALSE(table.problem().expected.empty());
  }
}
