#include "commands/command_support.h"

#include <unistd.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <iostream>

#include "commands/terminal_text.h"
#include "judging/designator.h"
#include "storage/file_bytes.h"

namespace boardlore {
namespace {

std::string near_designators(const Layer& layer, const std::string& wanted) {
  std::string text;
  for (const std::string& name : nearest_designators(layer, wanted)) text += (text.empty() ? "" : ", ") + name;
  return text;
}

}  // namespace

Session command_session(const CommandLine& line) { return make_session(line.words); }

Result<Folder> open_folder(const CommandLine& line, const std::filesystem::path& dir) {
  // The document is part of the seed: the same command twice must not make the same ids twice.
  std::string seed = line.words;
  for (const char* name : {"job.json", "layer.json"})
    if (Result<std::string> text = read_file(dir / name)) seed += sha256_hex(*text);
  Result<Folder> folder = Folder::open(dir, make_session(seed));
  if (folder)
    for (const std::string& remark : folder->remarks()) std::fprintf(stderr, "boardlore: %s\n", safe_for_terminal(remark).c_str());
  return folder;
}

Result<const Photo*> photo_named(const Folder& folder, const std::string& name) {
  if (const Photo* photo = folder.find_photo(name)) return photo;
  std::string list;
  for (const Photo* photo : folder.photos()) list += (list.empty() ? "" : ", ") + photo->file;
  return Problem{folder.dir().string(), "photo \"" + name + "\"", list.empty() ? "a photo (add one with: photo add)" : "one of " + list, "none of that name"};
}

Result<PhotoMap> map_of(const Photo& photo) {
  if (!photo.registration)
    return Problem{photo.file, "registration", "a registered photo (boardlore register)", "none", Outcome::finding};
  return PhotoMap::from(*photo.registration);
}

Result<MarkPtr> mark_named(const Folder& folder, const std::string& refdes) {
  const std::vector<MarkPtr> found = find_marks(*folder.now().layer, refdes);
  if (found.size() == 1) return found.front();
  if (found.empty()) {
    if (const auto id = parse_id(refdes))
      if (const MarkPtr mark = folder.now().layer->marks.find(*id)) return mark;
    const std::string near = near_designators(*folder.now().layer, refdes);
    return Problem{folder.dir().string(), "designator \"" + refdes + "\"", near.empty() ? "a mark of that designator" : near + " (near ones)", "none"};
  }
  std::string ids;
  for (const MarkPtr& mark : found) ids += " " + mark->id.text;
  return Problem{folder.dir().string(), "designator \"" + refdes + "\"", "one mark (name it by its id)", std::to_string(found.size()) + " marks:" + ids};
}

Result<std::vector<double>> numbers(const std::string& text, std::size_t n, const std::string& what) {
  std::vector<double> values;
  const char* at = text.data();
  const char* const end = at + text.size();
  while (true) {
    double value = 0;
    const auto [next, error] = std::from_chars(at, end, value);
    if (error != std::errc{} || !std::isfinite(value)) break;
    values.push_back(value);
    if (next == end) {
      if (n == 0 || values.size() == n) return values;
      break;
    }
    if (*next != ',') break;
    at = next + 1;
  }
  return Problem{"", what, n == 0 ? "numbers with commas between" : std::to_string(n) + " numbers with commas between", "\"" + text + "\""};
}

Result<std::vector<BoardPoint>> points(const std::string& text, const std::string& what) {
  const Result<std::vector<double>> values = numbers(text, 0, what);
  if (!values) return values.problem();
  if (values->size() % 2 != 0) return Problem{"", what, "pairs x,y", std::to_string(values->size()) + " numbers"};
  std::vector<BoardPoint> list;
  for (std::size_t i = 0; i < values->size(); i += 2) list.push_back({(*values)[i], (*values)[i + 1]});
  return list;
}

Result<std::pair<double, double>> size_mm(const std::string& text) {
  std::string with_comma = text;
  if (const auto x = with_comma.find_first_of("xX"); x != std::string::npos) with_comma[x] = ',';
  const Result<std::vector<double>> values = numbers(with_comma, 2, "--size");
  if (!values || (*values)[0] <= 0 || (*values)[1] <= 0) return Problem{"", "--size", "width x height in mm, as in 148x96", "\"" + text + "\""};
  return std::pair{(*values)[0], (*values)[1]};
}

Result<std::string> read_argument_file(const std::string& path) {
  constexpr std::size_t limit = 16U << 20U;
  if (path != "-") return read_file(path, limit);
  std::string text;
  char block[65536];
  ssize_t n = 0;
  while ((n = ::read(0, block, sizeof block)) > 0) {
    text.append(block, static_cast<std::size_t>(n));
    if (text.size() > limit) return Problem{"standard input", "", "at most 16 MiB", "more"};
  }
  return text;
}

void print(const std::string& text) { std::fputs(safe_for_terminal(text).c_str(), stdout); }
void print_json(const JsonOut& json) { std::fputs(json_text(json).c_str(), stdout); }

}  // namespace boardlore
