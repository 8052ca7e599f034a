#include "import/placement_columns.h"

#include <algorithm>
#include <initializer_list>
#include <set>

namespace boardlore {
namespace {

using Words = std::initializer_list<std::string_view>;

bool one_of(std::string_view word, Words words) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

// 0: the best name for it; larger: only where no better column is there; -1: not it.
int rank_as_axis(std::string_view word, char axis) {
  const auto with_axis = [&](std::string_view before, std::string_view after) {
    return word.size() == before.size() + after.size() + 1 && word.substr(0, before.size()) == before &&
           word[before.size()] == axis && word.substr(before.size() + 1) == after;
  };
  const auto around = [&](Words words) {
    for (const std::string_view other : words)
      if (with_axis(other, "") || with_axis("", other)) return true;
    return false;
  };
  if (around({"mid", "center", "centre", "centroid", "middle", "mitte", "centro"})) return 0;
  if (with_axis("", "") ||
      around({"pos", "position", "coord", "coordinate", "coordinates", "coor", "loc", "location", "place",
              "placement", "part", "comp", "component", "body", "sym", "koordinate", "value", "axis"}))
    return 1;
  if (around({"ref", "reference", "origin", "orig", "insertion"})) return 2;
  if (around({"pad", "pad1", "pin", "pin1", "firstpad"})) return 3;
  return -1;
}

int rank_as(std::string_view word, PlacementColumn column) {
  switch (column) {
    case PlacementColumn::refdes:
      if (one_of(word, {"refdes",
                        "designator",
                        "refdesignator",
                        "referencedesignator",
                        "referencedesignators",
                        "reference",
                        "references",
                        "ref",
                        "refs",
                        "designators",
                        "refdesig",
                        "desig",
                        "partreference",
                        "componentreference",
                        "compref",
                        "partref",
                        "referenz",
                        "bezeichner",
                        "repere",
                        "referencia",
                        "r\xC3\xA9"
                        "f\xC3\xA9rence",
                        "rep\xC3\xA8re"}))
        return 0;
      if (one_of(word, {"component", "componentname", "compname", "name", "designation", "instance",
                        "bauteil", "symbol"}))
        return 1;
      if (one_of(word, {"part", "id", "location", "item"})) return 2;
      return -1;
    case PlacementColumn::x:
      return rank_as_axis(word, 'x');
    case PlacementColumn::y:
      return rank_as_axis(word, 'y');
    case PlacementColumn::rotation:
      if (one_of(word,
                 {"rotation",       "rot",    "angle",        "orientation",  "rotate",    "theta",
                  "rotationdeg",    "rotdeg", "orient",       "winkel",       "drehwinkel", "drehung",   "rotationdegrees",
                  "angledeg",       "rota",   "partrotation", "comprotation", "symrotate", "rotationangle",
                  "orientationdeg", "ang"}))
        return 0;
      return one_of(word, {"r", "a", "phi", "turn"}) ? 1 : -1;
    case PlacementColumn::side:
      if (one_of(word, {"side", "tb", "topbottom", "bottomtop", "mountside", "boardside", "placementside",
                        "best\xC3\xBC"
                        "ckseite",
                        "best\xC3\xBC"
                        "ckungsseite",
                        "partside", "compside", "face", "seite", "boardlayer", "pcbside", "sidetb", "topbot",
                        "tbside"}))
        return 0;
      if (one_of(word, {"layer", "lyr", "placementlayer", "partlayer"})) return 1;
      return one_of(word, {"mirror", "mirrored", "symmirror", "m"}) ? 2 : -1;
    case PlacementColumn::value:
      if (one_of(word,
                 {"value", "val", "partvalue", "compvalue", "componentvalue", "wert", "valeur", "valor"}))
        return 0;
      if (one_of(word, {"comment", "device", "partnumber", "partno", "pn", "mpn", "componenttype", "type",
                        "devicetype"}))
        return 1;
      return one_of(word, {"part", "description", "desc", "partname"}) ? 2 : -1;
    case PlacementColumn::package:
      if (one_of(word, {"package", "footprint", "pattern", "case", "packagename", "footprintname", "decal",
                        "pcbdecal", "pcbfootprint", "land", "landpattern", "symname", "geometry", "gehaeuse",
                        "geh\xC3\xA4use", "footprints", "partdecal", "casename", "patternname"}))
        return 0;
      return one_of(word, {"shape", "size", "symbol", "description"}) ? 1 : -1;
  }
  return -1;
}

struct HeaderWord {
  std::string bare;
  std::optional<LengthUnit> unit;
};

// "Center-X(mm)", "PosX [mil]", "X_mm": the name and the unit apart.
HeaderWord header_word(std::string_view cell) {
  HeaderWord word;
  const std::size_t open = cell.find_first_of("([{");
  if (open != std::string_view::npos && open > 0) {
    const std::size_t close = cell.find_first_of(")]}", open);
    const std::string_view inside =
        cell.substr(open + 1, close == std::string_view::npos ? close : close - open - 1);
    word.unit = parse_length_unit(inside);
    word.bare = bare_word(cell.substr(0, open));
    // Side (T/B) and Rotation (deg) lose what is in brackets, which names no unit of length.
    return word;
  }
  word.bare = bare_word(cell);
  for (const std::string_view suffix : {"mm", "mils", "mil", "inches", "inch", "in", "thou", "um"}) {
    if (word.bare.size() <= suffix.size() || word.bare.substr(word.bare.size() - suffix.size()) != suffix)
      continue;
    const std::string stem = word.bare.substr(0, word.bare.size() - suffix.size());
    // Only a coordinate has a length for a unit: "pin" is not "p" in inches.
    if (rank_as_axis(stem, 'x') < 0 && rank_as_axis(stem, 'y') < 0) continue;
    word.unit = parse_length_unit(suffix);
    word.bare = stem;
    break;
  }
  return word;
}

}  // namespace

std::string_view placement_column_name(PlacementColumn column) {
  constexpr std::string_view names[placement_column_count]{"refdes", "x",     "y",      "rotation",
                                                           "side",   "value", "package"};
  return names[static_cast<std::size_t>(column)];
}

HeaderMatch match_header(const std::vector<std::string>& cells) {
  HeaderMatch match;
  constexpr std::size_t most_columns = 200;
  std::vector<HeaderWord> words;
  for (std::size_t i = 0; i < cells.size() && i < most_columns; ++i)
    words.push_back(cells[i].size() > 60 ? HeaderWord{} : header_word(cells[i]));
  std::vector<bool> taken(words.size(), false);
  int axis_rank = 0;
  for (std::size_t role = 0; role < placement_column_count; ++role) {
    const auto column = static_cast<PlacementColumn>(role);
    int best = -1;
    for (std::size_t i = 0; i < words.size(); ++i) {
      if (taken[i] || words[i].bare.empty()) continue;
      const int rank = rank_as(words[i].bare, column);
      if (rank < 0 || (best >= 0 && rank >= best)) continue;
      best = rank;
      match.index[role] = i;
    }
    if (best < 0) continue;
    taken[*match.index[role]] = true;
    ++match.found;
    if (column == PlacementColumn::x || column == PlacementColumn::y) {
      axis_rank = std::max(axis_rank, best);
      const std::optional<LengthUnit> unit = words[*match.index[role]].unit;
      if (unit && match.unit && *unit != *match.unit) match.units_differ = true;
      if (unit) match.unit = unit;
      if (best >= 2) match.not_centre = cells[*match.index[role]];
    }
    if (column == PlacementColumn::side && best == 2) match.mirror_column = true;
  }
  return match;
}

SideReading read_sides(const std::vector<std::string_view>& cells, bool mirror_column) {
  SideReading reading;
  if (mirror_column) return reading;
  std::set<std::string> digits;
  bool words = false;
  for (const std::string_view cell : cells) {
    const std::string bare = bare_word(cell);
    if (bare == "0" || bare == "1" || bare == "2")
      digits.insert(bare);
    else if (!bare.empty())
      words = true;
  }
  if (digits.empty() || words || digits.size() == 3) return reading;
  reading.digits = true;
  if (digits.count("0")) {
    reading.bottom_digit = digits.count("2") ? "2" : "1";
    reading.remark = "sides are written as digits; 0 taken as top, " + reading.bottom_digit + " as bottom";
  } else {
    reading.bottom_digit = "2";
    reading.remark = "sides are written as digits; 1 taken as top, 2 as bottom";
  }
  return reading;
}

std::optional<Side> side_of(std::string_view cell, const SideReading& reading, bool mirror_column) {
  const std::string bare = bare_word(cell);
  if (mirror_column) {
    if (one_of(bare, {"", "no", "n", "false", "0", "none", "f"})) return Side::top;
    if (one_of(bare, {"yes", "y", "true", "1", "m", "mirror", "mirrored", "t"})) return Side::bottom;
    return std::nullopt;
  }
  if (reading.digits) {
    if (bare == reading.bottom_digit) return Side::bottom;
    if (bare == "0" || bare == "1") return Side::top;
    return std::nullopt;
  }
  if (one_of(
          bare,
          {"t",       "top",         "topside",   "toplayer",     "f",         "front",         "frontside",
           "fcu",     "fsilks",      "c",         "comp",         "component", "componentside", "cs",
           "primary", "primaryside", "a",         "sidea",        "upper",     "oben",          "l1",
           "layer1",  "tl",          "topcopper", "placementtop", "dessus",    "superior"}))
    return Side::top;
  if (one_of(bare, {"b",          "bot",          "bottom",
                    "bottomside", "botside",      "bottomlayer",
                    "back",       "backside",     "bcu",
                    "s",          "solder",       "solderside",
                    "ss",         "secondary",    "secondaryside",
                    "sideb",      "lower",        "unten",
                    "bl",         "bottomcopper", "placementbottom",
                    "dessous",    "inferior"}))
    return Side::bottom;
  // "SMT TOP", "CopperBottom": one of the two words at an end, and not both.
  const auto at_an_end = [&](std::string_view word) {
    return bare.size() <= 24 && bare.size() > word.size() + 1 &&
           (bare.substr(0, word.size()) == word || bare.substr(bare.size() - word.size()) == word);
  };
  const bool top = at_an_end("top"), bottom = at_an_end("bottom") || at_an_end("bot");
  if (top != bottom) return top ? Side::top : Side::bottom;
  return std::nullopt;
}

}  // namespace boardlore
