#include "judging/designator.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <numeric>
#include <set>

#include "domain/layer.h"

namespace boardlore {
namespace {

std::string upper(std::string_view text) {
  std::string result(text);
  for (char& c : result) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return result;
}

struct Row {
  std::string_view letters;
  PartClass part;
};
constexpr Row rows[] = {
    {"R", PartClass::resistor}, {"RN", PartClass::resistor}, {"RP", PartClass::resistor}, {"PR", PartClass::resistor},
    {"RS", PartClass::resistor}, {"C", PartClass::capacitor}, {"PC", PartClass::capacitor}, {"CP", PartClass::capacitor},
    {"L", PartClass::inductor}, {"PL", PartClass::inductor}, {"FB", PartClass::ferrite}, {"E", PartClass::ferrite},
    {"F", PartClass::fuse}, {"FU", PartClass::fuse}, {"PF", PartClass::fuse}, {"W", PartClass::link},
    {"JP", PartClass::link}, {"JR", PartClass::link}, {"D", PartClass::diode}, {"CR", PartClass::diode},
    {"ZD", PartClass::diode}, {"LED", PartClass::diode}, {"PD", PartClass::diode}, {"DS", PartClass::diode},
    {"Q", PartClass::transistor}, {"PQ", PartClass::transistor}, {"U", PartClass::circuit}, {"IC", PartClass::circuit},
    {"PU", PartClass::circuit}, {"AR", PartClass::circuit}, {"BT", PartClass::battery}, {"BAT", PartClass::battery},
    {"Y", PartClass::crystal}, {"XTAL", PartClass::crystal}, {"OSC", PartClass::crystal}, {"G", PartClass::crystal},
    {"J", PartClass::connector}, {"CON", PartClass::connector}, {"TB", PartClass::connector}, {"S", PartClass::switching},
    {"SW", PartClass::switching}, {"K", PartClass::switching}, {"RLY", PartClass::switching}, {"T", PartClass::transformer},
    {"LS", PartClass::loudspeaker}, {"SP", PartClass::loudspeaker}, {"RT", PartClass::thermistor},
    {"TH", PartClass::thermistor}, {"TP", PartClass::test_point}};

int edit_distance(std::string_view a, std::string_view b) {
  std::vector<int> row(b.size() + 1);
  std::iota(row.begin(), row.end(), 0);
  for (std::size_t i = 1; i <= a.size(); ++i) {
    int diagonal = row[0];
    row[0] = static_cast<int>(i);
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const int above = row[j];
      row[j] = std::min({row[j] + 1, row[j - 1] + 1, diagonal + (a[i - 1] == b[j - 1] ? 0 : 1)});
      diagonal = above;
    }
  }
  return row[b.size()];
}

}  // namespace

bool is_designator(std::string_view text) {
  std::size_t at = 0;
  const auto is = [&](int (*test)(int)) { return at < text.size() && test(static_cast<unsigned char>(text[at])) != 0; };
  if (text.size() > 16) return false;
  while (is(std::isalpha)) ++at;
  const std::size_t letters = at;
  while (is(std::isdigit)) ++at;
  const std::size_t digits = at - letters;
  if (is(std::isalpha)) ++at;
  if (at < text.size() && text[at] == '_') {  // panel suffix: R17_2
    ++at;
    const std::size_t suffix = at;
    while (is(std::isdigit)) ++at;
    if (at == suffix) return false;
  }
  return letters >= 1 && letters <= 4 && digits >= 1 && digits <= 6 && at == text.size();
}

std::optional<Designator> split_designator(std::string_view text) {
  if (!is_designator(text)) return std::nullopt;
  Designator result;
  std::size_t at = 0;
  while (std::isalpha(static_cast<unsigned char>(text[at]))) ++at;
  result.letters = upper(text.substr(0, at));
  while (at < text.size() && std::isdigit(static_cast<unsigned char>(text[at]))) result.number = result.number * 10 + (text[at++] - '0');
  result.suffix = upper(text.substr(at));
  return result;
}

PartClass part_class(std::string_view refdes) {
  if (const auto parts = split_designator(refdes))
    for (const Row& row : rows)
      if (row.letters == parts->letters) return row.part;
  return PartClass::unsettled;
}

std::string_view class_name(PartClass part) {
  switch (part) {
    case PartClass::resistor: return "resistor";
    case PartClass::capacitor: return "capacitor";
    case PartClass::inductor: return "inductor";
    case PartClass::ferrite: return "ferrite bead";
    case PartClass::fuse: return "fuse";
    case PartClass::link: return "link";
    case PartClass::diode: return "diode";
    case PartClass::transistor: return "transistor";
    case PartClass::circuit: return "integrated circuit";
    case PartClass::battery: return "battery";
    case PartClass::crystal: return "crystal";
    case PartClass::connector: return "connector";
    case PartClass::switching: return "switch or relay";
    case PartClass::transformer: return "transformer";
    case PartClass::loudspeaker: return "loudspeaker";
    case PartClass::thermistor: return "thermistor";
    case PartClass::test_point: return "test point";
    case PartClass::unsettled: break;
  }
  return "part";
}

std::string next_designator(std::string_view refdes) {
  const auto parts = split_designator(refdes);
  if (!parts) return {};
  const std::string_view letters = refdes.substr(0, parts->letters.size());
  std::size_t digits = 0;
  while (letters.size() + digits < refdes.size() && std::isdigit(static_cast<unsigned char>(refdes[letters.size() + digits]))) ++digits;
  std::string number = std::to_string(parts->number + 1);
  if (number.size() < digits) number.insert(0, digits - number.size(), '0');
  if (number.size() > 6) return {};
  return std::string(letters) + number;
}

std::vector<std::string> nearest_designators(const Layer& layer, std::string_view refdes, std::size_t count) {
  const std::string wanted = upper(refdes.substr(0, 16));
  const auto parts = split_designator(wanted);
  std::set<std::tuple<int, int, std::string>> near;  // distance, how far the number is, name
  layer.marks.each([&](const MarkPtr& mark) {
    if (mark->refdes.empty()) return;
    const std::string name = upper(mark->refdes);
    const int distance = edit_distance(wanted, name);
    const auto theirs = split_designator(name);
    const bool same_letters = parts && theirs && parts->letters == theirs->letters;
    if (distance > (same_letters || !parts ? 2 : 1)) return;
    near.emplace(distance, same_letters ? std::abs(parts->number - theirs->number) : 1000000, mark->refdes);
    if (near.size() > count) near.erase(std::prev(near.end()));
  });
  std::vector<std::string> names;
  for (const auto& [distance, number, name] : near) names.push_back(name);
  return names;
}

}  // namespace boardlore
