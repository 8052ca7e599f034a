// boardlore marks: what is placed on the board.
#include <cstdio>

#include "commands/command_support.h"
#include "editing/mark_rules.h"
#include "storage/documents.h"

namespace boardlore {
namespace {

void run_marks(CommandLine& line, const std::string& dir) {
  Result<Folder> folder = open_folder(line, dir);
  if (failed(line, folder)) return;
  const Layer& layer = *folder->now().layer;
  const std::vector<Id> doubled = duplicate_designators(layer);
  if (line.json) {
    JsonOut list = JsonOut::array();
    layer.marks.each([&](const MarkPtr& mark) { list.push_back(JsonOut::parse(write_mark(*mark))); });
    JsonOut duplicates = JsonOut::array();
    for (const Id& id : doubled) duplicates.push_back(id.text);
    return print_json({{"marks", list}, {"duplicate_designators", duplicates}});
  }
  layer.marks.each([&](const MarkPtr& mark) {
    char text[160];
    std::snprintf(text, sizeof text, "%-8s %-18s %-6s %8.2f %8.2f mm", std::string(mark_kind_name(mark->kind)).c_str(), spoken_name(*mark).c_str(),
                  std::string(side_name(mark->side)).c_str(), mark->at.x_mm, mark->at.y_mm);
    print(text + (mark->text.empty() ? std::string{} : "  " + mark->text) + "\n");
  });
  for (const Id& id : doubled) print("designator used twice: " + layer.marks.find(id)->refdes + " (" + id.text + ")\n");
}

}  // namespace

void add_marks_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("marks", "List the marks of a board or a job");
  const auto dir = std::make_shared<std::string>();
  app->add_option("DIR", *dir, "board or job folder")->required();
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, dir] { run_marks(line, *dir); });
}

}  // namespace boardlore
