// boardlore part set | match: a part's package, way round and spares; a spare held against the lists.
#include <algorithm>
#include <cmath>

#include "commands/command_support.h"
#include "editing/mark_rules.h"
#include "geometry/outline.h"
#include "geometry/package_placing.h"
#include "geometry/pins.h"
#include "judging/marking_match.h"
#include "judging/package_table.h"
#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "storage/shop_file.h"

namespace boardlore {
namespace {

struct PartOptions {
  std::string dir, refdes, side, at, body, pin1, pads, photo, row_count, missing, marking;
  std::optional<double> rotation_deg, package_class_c;
  std::optional<std::string> value, polarity, on_part, on_board, moisture_level;
  std::vector<std::string> accept, refuse, wanted;
  PackageWords words;
};

std::vector<std::string> split(const std::string& text, char at) {
  std::vector<std::string> parts;
  for (std::size_t from = 0; from <= text.size();) {
    const std::size_t end = std::min(text.find(at, from), text.size());
    if (end > from) parts.push_back(text.substr(from, end - from));
    from = end + 1;
  }
  return parts;
}

// A package of that name on this board, or on another board of the library (the folders beside this one).
std::optional<Package> own_package(const Folder& folder, const std::string& name) {
  std::optional<Package> found;
  const auto look = [&](const Layer& layer) {
    layer.marks.each([&](const MarkPtr& mark) {
      if (!found && mark->package && mark->package->name == name) found = mark->package;
    });
  };
  look(*folder.now().layer);
  std::error_code ignored;
  int boards = 0;
  for (std::filesystem::directory_iterator entry(folder.board_dir().parent_path(), ignored), end; !found && !ignored && entry != end && boards < 500; entry.increment(ignored), ++boards)
    if (const auto text = read_file(entry->path() / "layer.json"))
      if (const auto layer = read_layer(*text, "layer.json")) look(*layer);
  return found;
}

// "upper-left", "top", ...: the direction of pin 1 from the part's centre, seen from the top of the board.
std::optional<Offset> direction_of(const std::string& word) {
  static const std::map<std::string, Offset> words{{"upper-left", {-1, 1}}, {"upper-right", {1, 1}}, {"lower-left", {-1, -1}}, {"lower-right", {1, -1}},
                                                   {"top", {0, 1}},         {"bottom", {0, -1}},     {"left", {-1, 0}},        {"right", {1, 0}}};
  const auto found = words.find(word);
  return found == words.end() ? std::nullopt : std::optional(found->second);
}

// A place given on the board, as the mark keeps it: from its own place, before its rotation.
Offset offset_from(const Mark& mark, BoardPoint point) {
  Mark back;
  back.rotation_deg = -mark.rotation_deg;
  const BoardPoint turned = placed(back, {point.x_mm - mark.at.x_mm, point.y_mm - mark.at.y_mm});
  return {turned.x_mm, turned.y_mm};
}

// The quarter turn from which the package's own pin 1 comes nearest to `wanted`.
void turn_to_pin1(Mark& mark, BoardPoint wanted) {
  double best_deg = mark.rotation_deg, best_mm = HUGE_VAL;
  mark.pin1.reset();
  for (int quarter = 0; quarter < 4; ++quarter) {
    Mark tried = mark;
    tried.rotation_deg = std::fmod(mark.rotation_deg + 90 * quarter, 360.0);
    const auto pin1 = pin1_of(tried);
    if (pin1 && distance_mm(*pin1, wanted) < best_mm - 1e-9) best_mm = distance_mm(*pin1, wanted), best_deg = tried.rotation_deg;
  }
  mark.rotation_deg = best_deg;
}

Result<Done> set_pin1(Mark& mark, const PartOptions& given) {
  const BoundingBox box = bounding_box(shape_of(mark));
  const double half = 0.5 * std::hypot(box.high.x_mm - box.low.x_mm, box.high.y_mm - box.low.y_mm);
  BoardPoint wanted;
  if (const auto direction = direction_of(given.pin1)) {
    const double length = std::hypot(direction->x_mm, direction->y_mm);
    wanted = {mark.at.x_mm + direction->x_mm * half / length, mark.at.y_mm + direction->y_mm * half / length};
  } else {
    const auto xy = numbers(given.pin1, 2, "--pin1");
    if (!xy) return Problem{"", "--pin1", "X,Y in board mm, or upper-left, upper-right, lower-left, lower-right, top, bottom, left, right", given.pin1};
    wanted = {(*xy)[0], (*xy)[1]};
  }
  const bool package_has_pin1 = mark.package && mark.package->family != PackageFamily::own_outline;
  if (package_has_pin1 && !given.rotation_deg && given.pads.empty()) turn_to_pin1(mark, wanted);
  if (!package_has_pin1) mark.pin1 = offset_from(mark, wanted);
  if (package_has_pin1) {
    mark.pin1.reset();
    // Where a rotation was given too, it has to agree: a chip put back turned starts with a mark like that.
    const auto pin1 = pin1_of(mark);
    Mark turned = mark;
    turn_to_pin1(turned, wanted);
    const auto better = pin1_of(turned);
    if (pin1 && better && distance_mm(*better, wanted) < distance_mm(*pin1, wanted) - 0.05)
      return Problem{"", "--pin1", "pin 1 where the rotation puts it", "another corner; give either --pin1 or --rotation"};
  }
  return Done{};
}

// "1=X,Y 25=X,Y": clicked pads in board mm, or in pixels of --photo.
Result<Done> place_by_pads(const Folder& folder, Mark& mark, const PartOptions& given, std::vector<std::string>& notes) {
  if (!mark.package) return Problem{"", "--pads", "a package to lay onto the pads (--package)", "none"};
  std::optional<PhotoMap> map;
  if (!given.photo.empty()) {
    const Result<const Photo*> photo = photo_named(folder, given.photo);
    if (!photo) return photo.problem();
    Result<PhotoMap> found = map_of(**photo);
    if (!found) return found.problem();
    map = std::move(*found);
  }
  std::vector<ClickedPad> pads;
  double click_error_mm = 0.05;
  for (const std::string& word : split(given.pads, ' ')) {
    const std::size_t equals = word.find('=');
    const auto xy = numbers(equals == std::string::npos ? "" : word.substr(equals + 1), 2, "--pads");
    if (!xy) return Problem{"", "--pads", "PIN=X,Y PIN=X,Y", "\"" + word + "\""};
    BoardPoint at{(*xy)[0], (*xy)[1]};
    if (map) {
      const auto there = map->board_from({(*xy)[0], (*xy)[1]});
      if (!there) return Problem{given.photo, "--pads", "pixels that show the board", word};
      at = *there;
      click_error_mm = 2 / std::max(map->px_per_mm(at), 0.1);
    }
    pads.push_back({word.substr(0, equals), at});
  }
  const auto placing = package_from_pads(*mark.package, mark.side, pads, click_error_mm);
  if (!placing) return placing.problem();
  mark.at = placing->at;
  mark.rotation_deg = placing->square_rotation_deg.value_or(placing->rotation_deg);
  mark.place_error_mm = std::max(placing->rms_mm, click_error_mm);
  notes = placing->notes;
  return Done{};
}

Result<Done> set_package(const Folder& folder, Mark& mark, const PartOptions& given) {
  PackageWords words = given.words;
  if (words.name.empty() && mark.package) words.name = mark.package->name;
  if (words.name.empty()) {
    const bool said = words.pins || words.pitch_mm || words.rows || !given.body.empty();
    return said ? Result<Done>(Problem{"", "--package", "a package name", "none"}) : Result<Done>(Done{});
  }
  if (!given.body.empty()) {
    const auto size = size_mm(given.body);
    if (!size) return Problem{"", "--body", "across x by along y at 0 degrees in mm, as in 7x7", given.body};
    words.body_length_mm = size->first, words.body_width_mm = size->second;
  }
  if (!given.row_count.empty()) words.row_count = given.row_count == "across" ? RowCount::across : given.row_count == "around" ? RowCount::around : RowCount::one_row;
  words.missing = split(given.missing, ',');
  const Result<Shop> shop = load_shop(shop_file_beside(folder.board_dir()));
  if (!shop) return shop.problem();
  auto package = package_from_words(words, *shop);
  // A name that neither the shop keeps nor a table knows, or one said bare that some board spells out.
  const std::optional<Package> own = find_own_package(*shop, words.name) ? std::nullopt : own_package(folder, words.name);
  if (own && (!package || (!find_package(words.name) && !words.pins && !words.pitch_mm))) {
    // What was said beside the name is not passed over in silence.
    if (words.pins && *words.pins != own->pins)
      return Problem{"", "--pins", std::to_string(own->pins) + ", as " + own->name + " has here, or another --package", std::to_string(*words.pins)};
    package = *own;
  }
  if (!package) return package.problem();
  mark.package = *package;
  if (package->body_length_mm > 0) mark.outline.clear();
  return Done{};
}

Result<Done> take_over(const Folder& folder, Mark& mark, const PartOptions& given, std::vector<std::string>& notes) {
  if (!given.side.empty()) mark.side = *parse_side(given.side);
  if (!given.at.empty()) {
    const auto at = numbers(given.at, 2, "--at");
    if (!at) return at.problem();
    mark.at = {(*at)[0], (*at)[1]};
  }
  if (given.rotation_deg) mark.rotation_deg = *given.rotation_deg;
  if (const auto done = set_package(folder, mark, given); !done) return done;
  if (!given.pads.empty())
    if (const auto done = place_by_pads(folder, mark, given, notes); !done) return done;
  if (!given.pin1.empty())
    if (const auto done = set_pin1(mark, given); !done) return done;
  if (given.value) mark.value = *given.value;
  if (given.polarity) mark.polarity = *given.polarity == "none" ? "" : *given.polarity;
  if (given.on_part) mark.orientation.on_part = *given.on_part;
  if (given.on_board) mark.orientation.on_board = *given.on_board;
  if (given.moisture_level) mark.moisture_level = *given.moisture_level;
  if (given.package_class_c) mark.package_class_c = given.package_class_c;
  const auto add_new = [](std::vector<std::string>& list, const std::vector<std::string>& more) {
    for (const std::string& entry : more)
      if (std::find(list.begin(), list.end(), entry) == list.end()) list.push_back(entry);
  };
  add_new(mark.accept, given.accept);
  add_new(mark.refuse, given.refuse);
  for (const std::string& word : given.wanted) {
    const std::size_t colon = word.find(':');
    const auto quantity = parse_quantity_name(colon == std::string::npos ? word : word.substr(colon + 1));
    if (!quantity) return Problem{"", "--want", "QUANTITY or PIN:QUANTITY, as in 7:resistance", word};
    const WantedReading wanted{colon == std::string::npos ? "" : word.substr(0, colon), *quantity};
    if (std::find(mark.wanted.begin(), mark.wanted.end(), wanted) == mark.wanted.end()) mark.wanted.push_back(wanted);
  }
  mark.changed_at = folder.session().now();
  return Done{};
}

void run_set(CommandLine& line, const PartOptions& given) {
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  Mark mark;
  const bool there = !find_marks(*folder->now().layer, given.refdes).empty() || parse_id(given.refdes);
  if (there) {
    const Result<MarkPtr> found = mark_named(*folder, given.refdes);
    if (failed(line, found)) return;
    mark = **found;
    if (mark.kind != MarkKind::part) return complain(line, Problem{given.dir, given.refdes, "a part", std::string(mark_kind_name(mark.kind))});
  } else {
    if (given.at.empty() && given.pads.empty())
      return complain(line, Problem{given.dir, given.refdes, "a part of this board, or --at X,Y to place a new one", "none"});
    mark.id = folder->session().new_id();
    mark.kind = MarkKind::part;
    mark.refdes = given.refdes;
  }
  std::vector<std::string> notes;
  if (failed(line, take_over(*folder, mark, given, notes))) return;
  const Edit edit = there ? Edit{ChangeMark{mark, "set " + spoken_name(mark)}} : Edit{PlaceMark{mark}};
  if (failed(line, folder->commit(edit)) || failed(line, folder->save())) return;
  const auto pin1 = pin1_of(mark);
  if (line.json) {
    JsonOut json{{"id", mark.id.text}, {"refdes", mark.refdes}, {"at_mm", json_point(mark.at)}, {"rotation_deg", mark.rotation_deg},
                 {"package", mark.package ? JsonOut(mark.package->name) : JsonOut(nullptr)}, {"pin1_mm", pin1 ? json_point(*pin1) : JsonOut(nullptr)}};
    if (!notes.empty()) json["notes"] = notes;
    return print_json(json);
  }
  std::string text = (there ? "changed " : "placed ") + spoken_name(mark);
  if (mark.package) text += ": " + mark.package->name + " (" + mark.package->source + ")";
  print(text + "\n");
  for (const std::string& note : notes) print("  " + note + "\n");
}

void run_match(CommandLine& line, const PartOptions& given) {
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  if (!folder->is_job()) return complain(line, Problem{given.dir, "", "a job folder", "a board folder"});
  const Result<MarkPtr> mark = mark_named(*folder, given.refdes);
  if (failed(line, mark)) return;
  const MarkingMatch match = match_marking((*mark)->accept, (*mark)->refuse, given.marking);
  const std::string verdict(spare_verdict_name(match.verdict));
  const SpareCheck check{folder->session().new_id(), (*mark)->id, given.marking, verdict, folder->session().now()};
  if (failed(line, folder->commit(AddSpareCheck{check})) || failed(line, folder->save())) return;
  if (line.json)
    print_json({{"refdes", (*mark)->refdes}, {"marking", given.marking}, {"verdict", verdict}, {"entry", match.entry}, {"reason", match.words}});
  else
    print(verdict + ": " + match.words + "\n");
  // Not on an accept list that there is, is as good as refused.
  if (match.verdict == SpareVerdict::refused || (match.verdict == SpareVerdict::not_listed && !(*mark)->accept.empty())) line.outcome = Outcome::finding;
}

}  // namespace

void add_part_command(CommandLine& line) {
  CLI::App* family = line.app->add_subcommand("part", "A part's package, way round and spares");
  family->require_subcommand(1);
  const auto given = std::make_shared<PartOptions>();
  const auto subcommand = [&](const char* name, const char* about) {
    CLI::App* app = family->add_subcommand(name, about);
    app->add_option("DIR", given->dir, "board or job folder")->required();
    app->add_option("REFDES", given->refdes, "designator (or a mark's id)")->required();
    app->add_flag("--json", line.json, "one JSON document on stdout");
    return app;
  };
  CLI::App* set = subcommand("set", "Set what is given of a part; places it where it is new");
  PartOptions& g = *given;
  set->add_option("--package", g.words.name, "SOIC-8, QFP, 0603, SOT-23, BGA, connector, ... or one of the library's own");
  set->add_option("--pins", g.words.pins, "how many pins");
  set->add_option("--rows", g.words.rows, "grid array: rows; oblong quad: pins on the left");
  set->add_option("--columns", g.words.columns, "grid array: columns; oblong quad: pins on the bottom");
  set->add_option("--pitch", g.words.pitch_mm, "mm between neighbouring pins");
  set->add_option("--span", g.words.span_mm, "mm between the middles of opposite rows");
  set->add_option("--span-y", g.words.span_y_mm, "oblong quad: mm between the bottom and the top row");
  set->add_option("--body", g.body, "body, across x by along y at 0 degrees in mm, as in 7x7");
  set->add_option("--missing", g.missing, "pins or balls that are not there: A1,B2");
  set->add_option("--row-count", g.row_count, "connector: how its rows count")->check(CLI::IsMember({"one-row", "across", "around"}));
  set->add_option("--side", g.side, "side of the board")->check(CLI::IsMember({"top", "bottom"}));
  set->add_option("--at", g.at, "X,Y of the part's centre in board mm");
  set->add_option("--rotation", g.rotation_deg, "degrees, counter-clockwise seen from the top; at 0 pin 1 is upper left");
  set->add_option("--pads", g.pads, "\"PIN=X,Y PIN=X,Y\": place it by pads in board mm, or pixels with --photo");
  set->add_option("--photo", g.photo, "the registered photo that --pads are pixels of");
  set->add_option("--pin1", g.pin1, "where pin 1 is: X,Y in board mm, or upper-left, upper-right, lower-left, lower-right, top, bottom, left, right");
  set->add_option("--value", g.value, "value or type");
  set->add_option("--polarity", g.polarity, "what the pin-1 end is")->check(CLI::IsMember({"cathode", "positive", "negative", "none"}));
  set->add_option("--on-part", g.on_part, "what marks pin 1 on the part: dot, notch, bevel, bar, cathode band, minus stripe");
  set->add_option("--on-board", g.on_board, "what marks pin 1 on the board: triangle, numeral, square pad");
  set->add_option("--accept", g.accept, "a marking that fits (* any characters, ? one); added to the list");
  set->add_option("--refuse", g.refuse, "a look-alike's marking; added to the list");
  set->add_option("--msl", g.moisture_level, "moisture level: 1, 2, 2a, 3, 4, 5, 5a, 6");
  set->add_option("--class", g.package_class_c, "highest body temperature in °C (J-STD-020)");
  set->add_option("--want", g.wanted, "a reading wanted before the part is lifted: QUANTITY or PIN:QUANTITY");
  set->callback([&line, given] { run_set(line, *given); });
  CLI::App* match = subcommand("match", "Hold a spare's marking against the lists; exit 1 where it is refused");
  match->add_option("MARKING", g.marking, "the marking as seen on the spare")->required();
  match->callback([&line, given] { run_match(line, *given); });
}

}  // namespace boardlore
