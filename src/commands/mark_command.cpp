// boardlore mark add | set | move | turn | copy | remove: the marks of a board or a job.
#include <cmath>
#include <numbers>

#include "commands/command_support.h"
#include "editing/mark_rules.h"

namespace boardlore {
namespace {

struct MarkOptions {
  std::string dir, which, kind, side, at, refdes, outline, text, pin1, reason, advice, value;
  std::optional<double> radius_mm, rotation_deg, max_temperature_c, height_mm, by_deg;
  std::vector<std::string> notes;
};

Offset turned(Offset offset, double angle_deg) {
  const double a = angle_deg * std::numbers::pi / 180, c = std::cos(a), s = std::sin(a);
  return {c * offset.x_mm - s * offset.y_mm, s * offset.x_mm + c * offset.y_mm};
}

// A corner given in board mm, as the mark keeps it: from its place, before its rotation.
Offset offset_from(const Mark& mark, BoardPoint point) {
  return turned({point.x_mm - mark.at.x_mm, point.y_mm - mark.at.y_mm}, -mark.rotation_deg);
}

// What was given on the command line onto the mark; nullopt: fine.
std::optional<Problem> take_over(const MarkOptions& given, const Session& session, Mark& mark) {
  if (!given.kind.empty()) {
    const auto kind = parse_mark_kind(given.kind);
    if (!kind) return Problem{"", "--kind", "part, pin1, keepout, probe or note", given.kind};
    mark.kind = *kind;
  }
  if (!given.side.empty()) mark.side = *parse_side(given.side);
  if (!given.at.empty()) {
    const auto at = numbers(given.at, 2, "--at");
    if (!at) return at.problem();
    mark.at = {(*at)[0], (*at)[1]};
  }
  if (given.rotation_deg) mark.rotation_deg = *given.rotation_deg;
  if (!given.refdes.empty()) mark.refdes = given.refdes;
  if (!given.text.empty()) mark.text = given.text;
  if (!given.reason.empty()) mark.reason = given.reason;
  if (!given.advice.empty()) mark.advice = given.advice;
  if (!given.value.empty()) mark.value = given.value;
  if (given.radius_mm) mark.radius_mm = given.radius_mm;
  if (given.max_temperature_c) mark.max_temperature_c = given.max_temperature_c;
  if (given.height_mm) mark.height_mm = given.height_mm;
  if (!given.outline.empty()) {
    const auto corners = points(given.outline, "--outline");
    if (!corners) return corners.problem();
    mark.outline.clear();
    for (const BoardPoint corner : *corners) mark.outline.push_back(offset_from(mark, corner));
  }
  if (!given.pin1.empty()) {
    const auto pin1 = numbers(given.pin1, 2, "--pin1");
    if (!pin1) return pin1.problem();
    mark.pin1 = offset_from(mark, {(*pin1)[0], (*pin1)[1]});
  }
  for (const std::string& text : given.notes)
    mark.notes.push_back(Note{session.new_id(), text, "", std::nullopt, session.technician, session.now(), false, {}});
  mark.changed_at = session.now();
  return std::nullopt;
}

void report(CommandLine& line, const Folder& folder, const Mark& mark, const std::string& done) {
  if (line.json) return print_json({{"id", mark.id.text}, {"refdes", mark.refdes}, {"at_mm", json_point(mark.at)}});
  print(done + " " + spoken_name(mark) + "\n");
  for (const Id& id : duplicate_designators(*folder.now().layer))
    if (id == mark.id) print("designator " + mark.refdes + " is used twice on this board\n");
}

void run_add(CommandLine& line, const MarkOptions& given) {
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  Mark mark;
  mark.id = folder->session().new_id();
  if (const auto problem = take_over(given, folder->session(), mark)) return complain(line, *problem);
  if (failed(line, folder->commit(PlaceMark{mark})) || failed(line, folder->save())) return;
  report(line, *folder, mark, "placed");
}

// Opens, finds the mark, lets `change` make edits, saves.
template <class Change>
void run_on_mark(CommandLine& line, const MarkOptions& given, const std::string& done, Change change) {
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  const Result<MarkPtr> mark = mark_named(*folder, given.which);
  if (failed(line, mark)) return;
  Mark changed = **mark;
  const Result<Edit> edit = change(*folder, changed);
  if (failed(line, edit) || failed(line, folder->commit(*edit)) || failed(line, folder->save())) return;
  report(line, *folder, changed, done);
}

void add_fields(CLI::App* app, MarkOptions& given) {
  app->add_option("--refdes", given.refdes, "reference designator, as in C14");
  app->add_option("--outline", given.outline, "x,y,x,y,...: corners in board mm");
  app->add_option("--radius", given.radius_mm, "circle instead of a polygon, in mm");
  app->add_option("--rotation", given.rotation_deg, "degrees, counter-clockwise seen from the top");
  app->add_option("--pin1", given.pin1, "x,y: where pin 1 is, in board mm");
  app->add_option("--text", given.text, "what a note says; a caption elsewhere");
  app->add_option("--note", given.notes, "a rework note attached to the mark");
  app->add_option("--reason", given.reason, "keep-out: why")->check(CLI::IsMember({"heat", "knock", "height", "solvent", "static"}));
  app->add_option("--advice", given.advice, "keep-out: what to do (shield, remove first, lower temperature)");
  app->add_option("--max-temperature", given.max_temperature_c, "keep-out: limit in °C");
  app->add_option("--height", given.height_mm, "keep-out: height in mm");
  app->add_option("--value", given.value, "part: value or type");
}

}  // namespace

void add_mark_command(CommandLine& line) {
  CLI::App* family = line.app->add_subcommand("mark", "Place, change and remove marks");
  family->require_subcommand(1);
  const auto subcommand = [&](const char* name, const char* about, bool names_mark) {
    CLI::App* app = family->add_subcommand(name, about);
    auto given = std::make_shared<MarkOptions>();
    app->add_option("DIR", given->dir, "board or job folder")->required();
    if (names_mark) app->add_option("MARK", given->which, "designator, or a mark's id")->required();
    app->add_flag("--json", line.json, "one JSON document on stdout");
    return std::pair{app, given};
  };
  const CLI::IsMember kinds({"part", "pin1", "keepout", "probe", "note"}), sides({"top", "bottom"});

  const auto [add, a] = subcommand("add", "Place a mark", false);
  add->add_option("--kind", a->kind, "what it is")->required()->check(kinds);
  add->add_option("--side", a->side, "side of the board")->required()->check(sides);
  add->add_option("--at", a->at, "X,Y in board mm")->required();
  add_fields(add, *a);
  add->callback([&line, given = a] { run_add(line, *given); });

  const auto [set, s] = subcommand("set", "Change what is given of a mark", true);
  set->add_option("--side", s->side, "side of the board")->check(sides);
  add_fields(set, *s);
  set->callback([&line, given = s] {
    run_on_mark(line, *given, "changed", [&](const Folder& folder, Mark& mark) -> Result<Edit> {
      if (const auto problem = take_over(*given, folder.session(), mark)) return *problem;
      return Edit{ChangeMark{mark, ""}};
    });
  });

  const auto [move, m] = subcommand("move", "Move a mark", true);
  move->add_option("--at", m->at, "X,Y in board mm")->required();
  move->callback([&line, given = m] {
    run_on_mark(line, *given, "moved", [&](const Folder&, Mark& mark) -> Result<Edit> {
      const auto at = numbers(given->at, 2, "--at");
      if (!at) return at.problem();
      mark.at = {(*at)[0], (*at)[1]};
      return Edit{MoveMark{mark.id, mark.at}};
    });
  });

  const auto [turn, t] = subcommand("turn", "Turn a mark where it lies", true);
  turn->add_option("--by", t->by_deg, "degrees, counter-clockwise seen from the top")->required();
  turn->callback([&line, given = t] {
    run_on_mark(line, *given, "turned", [&](const Folder& folder, Mark& mark) -> Result<Edit> {
      mark.rotation_deg = std::remainder(mark.rotation_deg + *given->by_deg, 360.0);
      mark.changed_at = folder.session().now();
      return Edit{ChangeMark{mark, "turn " + spoken_name(mark)}};
    });
  });

  const auto [copy, c] = subcommand("copy", "Place another mark like this one", true);
  copy->add_option("--at", c->at, "X,Y in board mm")->required();
  copy->add_option("--refdes", c->refdes, "designator of the copy");
  copy->callback([&line, given = c] {
    run_on_mark(line, *given, "placed", [&](const Folder& folder, Mark& mark) -> Result<Edit> {
      mark.id = folder.session().new_id();
      mark.refdes.clear();
      mark.notes.clear();
      mark.samples.clear();
      if (const auto problem = take_over(*given, folder.session(), mark)) return *problem;
      return Edit{PlaceMark{mark}};
    });
  });

  const auto [remove, r] = subcommand("remove", "Delete a mark", true);
  remove->callback([&line, given = r] {
    run_on_mark(line, *given, "deleted", [](const Folder&, Mark& mark) -> Result<Edit> { return Edit{RemoveMark{mark.id}}; });
  });
}

}  // namespace boardlore
