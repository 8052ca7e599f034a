// boardlore read-designators DIR PHOTO: names read from the board's print, proposed; taken one by one.
#include <algorithm>
#include <cctype>
#include <cstdio>
#include <memory>
#include <set>

#include "alignment/designator_reader.h"
#include "commands/command_support.h"
#include "pictures/photo_file.h"

namespace boardlore {
namespace {

struct ReadOptions {
  std::string dir, photo;
  std::vector<std::string> accept, reject;
  double least = least_designator_confidence;
};

std::set<std::string> upper_names(const std::vector<std::string>& names) {
  std::set<std::string> upper;
  for (std::string name : names) {
    std::transform(name.begin(), name.end(), name.begin(), [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
    upper.insert(name);
  }
  return upper;
}

void run_read(CommandLine& line, const ReadOptions& options) {
  Result<Folder> folder = open_folder(line, options.dir);
  if (failed(line, folder)) return;
  const Result<const Photo*> photo = photo_named(*folder, options.photo);
  if (failed(line, photo) || failed(line, map_of(**photo))) return;
  const Side side = (*photo)->side;
  if (!can_read_designators())
    return complain(line, {"", "", "Tesseract with its English data (packages libtesseract-dev, tesseract-ocr-eng)", "none", Outcome::system_failed});
  const Result<Raster> picture = decode_full(folder->photo_path(**photo));
  if (failed(line, picture)) return;
  const auto read = read_designators(*picture, *(*photo)->registration, folder->now().layer->board, side);
  if (failed(line, read)) return;
  std::vector<ReadDesignator> proposed = new_designators(*read, *folder->now().layer, options.least);
  const std::set<std::string> accept = upper_names(options.accept), reject = upper_names(options.reject);
  for (const auto& names : {accept, reject})
    for (const std::string& name : names)
      if (name != "ALL" && std::none_of(proposed.begin(), proposed.end(), [&](const ReadDesignator& one) { return one.refdes == name; }))
        return complain(line, {"", "", "a name that is proposed", name, Outcome::bad_input});
  std::vector<Edit> edits;
  JsonOut list = JsonOut::array();
  for (const ReadDesignator& one : proposed) {
    const bool taken = (accept.contains("ALL") || accept.contains(one.refdes)) && !reject.contains(one.refdes);
    if (taken) {
      Mark mark = mark_of(one, side);
      mark.id = folder->session().new_id(), mark.changed_at = folder->session().now();
      edits.emplace_back(PlaceMark{std::move(mark)});
    }
    list.push_back({{"refdes", one.refdes}, {"x_mm", one.at.x_mm}, {"y_mm", one.at.y_mm}, {"turn_deg", one.turn_deg}, {"height_mm", one.height_mm},
                    {"confidence", one.confidence}, {"accepted", taken}});
    char text[120];
    std::snprintf(text, sizeof text, "%-8s %8.2f %8.2f mm  turned %3d  confidence %.2f%s\n", one.refdes.c_str(), one.at.x_mm, one.at.y_mm, one.turn_deg,
                  one.confidence, taken ? "  placed" : "");
    if (!line.json) print(text);
  }
  if (!edits.empty()) {
    if (failed(line, folder->commit("read designators from " + (*photo)->file, edits))) return;
    if (failed(line, folder->save())) return;
  }
  if (line.json) print_json({{"photo", (*photo)->file}, {"side", side_name(side)}, {"read", read->size()}, {"proposed", list}, {"placed", edits.size()}});
  else print(std::to_string(proposed.size()) + " proposed, " + std::to_string(edits.size()) + " placed" +
             (edits.empty() && !proposed.empty() ? "; take them with --accept NAME or --accept all\n" : "\n"));
}

}  // namespace

void add_read_designators_command(CommandLine& line) {
  const auto options = std::make_shared<ReadOptions>();
  CLI::App* app = line.app->add_subcommand("read-designators", "Propose marks where designators are read from the board's print; places none unasked");
  app->add_option("DIR", options->dir, "board or job folder")->required();
  app->add_option("PHOTO", options->photo, "a registered photo of that folder")->required();
  app->add_option("--accept", options->accept, "NAME: place this one (again for more); all: every one that is not rejected")->take_all();
  app->add_option("--reject", options->reject, "NAME: not this one")->take_all();
  app->add_option("--least", options->least, "leave out what was read with less confidence")->check(CLI::Range(0.0, 1.0));
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, options] { run_read(line, *options); });
}

}  // namespace boardlore
