// Opens a board, edits and saves it a few times, and says on stdout what was accepted: the program that the fault
// library strikes. Every line is written in one piece before the next step begins.
#include <unistd.h>

#include <cstdio>
#include <string>

#include "storage/folder.h"

using namespace boardlore;

namespace {

void say(const std::string& line) {
  const std::string text = line + "\n";
  if (::write(1, text.data(), text.size()) < 0) ::_exit(9);
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) return 2;
  Session session;
  session.clock = [] { return Timestamp{1'700'000'000'000}; };
  session.ids = std::make_shared<IdSource>(4711, 7);
  Result<Folder> folder = Folder::open(argv[1], session);
  if (!folder) {
    say("not opened: " + to_text(folder.problem()));
    return 3;
  }
  const auto place = [&](const std::string& refdes) {
    Mark mark;
    mark.id = session.new_id();
    mark.kind = MarkKind::probe;
    mark.refdes = refdes;
    if (folder->commit(PlaceMark{mark})) say("placed " + refdes);
    return mark.id;
  };
  const auto move = [&](const Id& id, const std::string& refdes, double x_mm) {
    const bool done = bool(folder->commit(MoveMark{id, {x_mm, 1}}));
    if (done) say("moved " + refdes + " " + std::to_string(static_cast<int>(x_mm)));
    return done;
  };
  const Id first = place("TP1");
  move(first, "TP1", 1);
  if (!folder->save()) say("save failed");
  const Id second = place("TP2");
  move(first, "TP1", 2);
  if (!folder->save()) say("save failed");
  if (move(second, "TP2", 3) && folder->undo()) say("undone");
  move(second, "TP2", 4);
  if (!folder->save()) say("save failed");
  place("TP3");  // left to the journal
  say("done");
  return 0;
}
