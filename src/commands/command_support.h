// What most subcommands begin and end with: opening a folder, finding a photo, reading pairs of numbers.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "commands/program.h"
#include "geometry/photo_map.h"
#include "storage/folder.h"
#include "storage/json_out.h"

namespace boardlore {

// Opens DIR for this run; remarks go to stderr. The run's ids follow from the command line where
// SOURCE_DATE_EPOCH is set.
Result<Folder> open_folder(const CommandLine& line, const std::filesystem::path& dir);
// A session for commands that make a folder.
Session command_session(const CommandLine& line);

// The photo PHOTO of the folder; the Problem lists those there are.
Result<const Photo*> photo_named(const Folder& folder, const std::string& name);
// Its map; the Problem says how to register it.
Result<PhotoMap> map_of(const Photo& photo);
// Exactly one mark of that designator; the Problem names near ones, or all where several share it.
Result<MarkPtr> mark_named(const Folder& folder, const std::string& refdes);

// "12.5,40": n numbers, finite. Problem.where is `what`.
Result<std::vector<double>> numbers(const std::string& text, std::size_t n, const std::string& what);
// "x,y,x,y,...": an even number of numbers.
Result<std::vector<BoardPoint>> points(const std::string& text, const std::string& what);
// "148x96"
Result<std::pair<double, double>> size_mm(const std::string& text);

// The whole of stdin (text "-") or a file, with a limit.
Result<std::string> read_argument_file(const std::string& path);

void print(const std::string& text);
void print_json(const JsonOut& json);

// Prints problems of a result and says whether it was one.
template <class T>
bool failed(CommandLine& line, const Result<T>& result) {
  if (result) return false;
  complain(line, result.problem());
  return true;
}

}  // namespace boardlore
