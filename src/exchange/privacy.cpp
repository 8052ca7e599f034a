#include "exchange/privacy.h"

#include <algorithm>
#include <cctype>

#include "exchange/bundle.h"
#include "exchange/cover_photo.h"
#include "exchange/private_words.h"
#include "pictures/scrub.h"
#include "storage/documents.h"
#include "storage/file_bytes.h"

namespace boardlore {
namespace {

namespace fs = std::filesystem;
constexpr std::int64_t day_ms = 86'400'000;

bool is_whole_day(Timestamp time) { return time.ms % day_ms == 0; }

void look_at_mark(const Mark& mark, const std::string& file, bool allow_names, std::vector<PrivateFinding>& found) {
  const std::string where = "/marks/" + mark.id.text;
  const auto add = [&](const std::string& place, const std::string& what) { found.push_back({file, where + place, what}); };
  const auto text = [&](const std::string& place, const std::string& value) {
    if (const std::string what = place_of_a_machine(value); !what.empty()) add(place, what);
  };
  text("/text", mark.text);
  text("/value", mark.value);
  text("/advice", mark.advice);
  for (const Note& note : mark.notes) {
    const std::string place = "/notes/" + note.id.text;
    if (!note.by.empty() && !allow_names) add(place + "/by", "a technician's name");
    if (note.internal) add(place, "an internal note");
    if (!is_whole_day(note.at)) add(place + "/at", "the time of day of a note");
    if (!note.unknown.empty()) add(place, "members this version does not know");
    text(place + "/text", note.text);
  }
  for (const auto* list : {&mark.accept, &mark.refuse})
    for (const std::string& one : *list) text(list == &mark.accept ? "/accept" : "/refuse", one);
  text("/orientation/on_part", mark.orientation.on_part);
  text("/orientation/on_board", mark.orientation.on_board);
  for (const auto& [pin, net] : mark.nets) text("/nets", net);
  if (mark.package) {
    text("/package/name", mark.package->name);
    text("/package/source", mark.package->source);
    if (!mark.package->unknown.empty()) add("/package", "members this version does not know");
  }
  for (const Limit& limit : mark.limits) {
    text("/limits/" + limit.id.text + "/source", limit.source);
    if (!limit.unknown.empty()) add("/limits/" + limit.id.text, "members this version does not know");
  }
  for (const Sample& sample : mark.samples) {
    if (!sample.unknown.empty()) add("/samples/" + sample.id.text, "members this version does not know");
    if (!is_whole_day(sample.taken_at)) add("/samples/" + sample.id.text + "/taken_at", "the time of day of a sample");
  }
  if (!is_whole_day(mark.changed_at)) add("/changed_at", "the time of day of a change");
  if (!mark.unknown.empty()) add("", "members this version does not know");
}

bool is_picture(const fs::path& path) {
  std::string ending = path.extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(), [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  for (const char* known : {".jpg", ".jpeg", ".png", ".heic", ".heif", ".tif", ".tiff", ".bmp"})
    if (ending == known) return true;
  return false;
}

Result<Done> look_at_file(const fs::path& path, bool allow_names, std::vector<PrivateFinding>& found) {
  const std::string name = path.filename().string();
  if (path.parent_path().filename() == uncovered_folder) found.push_back({path.string(), "", "a photo as it was before a region was covered"});
  if (is_picture(path)) {
    Result<std::vector<std::string>> metadata = private_metadata(path);
    if (!metadata) return metadata.problem();
    for (const std::string& what : *metadata) found.push_back({path.string(), "", what});
  } else if (path.extension() == ".json") {
    Result<std::string> text = read_file(path);
    if (!text) return text.problem();
    if (text->substr(0, 200).find("\"boardlore-job\"") != std::string::npos) {
      found.push_back({path.string(), "", "a job: the unit, its owner, its readings"});
    } else if (text->substr(0, 200).find("\"boardlore-layer\"") != std::string::npos) {
      Result<Layer> layer = read_layer(*text, path.string());
      if (!layer) return layer.problem();
      for (PrivateFinding& one : private_in_layer(*layer, path.string(), allow_names)) found.push_back(std::move(one));
    }
  } else if (path.extension() == ".zip") {
    Result<SharedFiles> bundle = read_bundle_file(path);
    if (!bundle) return bundle.problem();
    Result<Layer> layer = read_layer(bundle->layer_json, path.string() + ", layer.json");
    if (!layer) return layer.problem();
    for (PrivateFinding& one : private_in_layer(*layer, path.string() + ", layer.json", allow_names)) found.push_back(std::move(one));
    for (const auto& [photo, bytes] : bundle->photos) {
      Result<std::vector<std::string>> metadata = private_metadata_of(std::as_bytes(std::span(bytes.data(), bytes.size())), photo);
      if (!metadata) return metadata.problem();
      for (const std::string& what : *metadata) found.push_back({path.string() + ", " + photo, "", what});
    }
  } else if (name.ends_with(".journal")) {
    found.push_back({path.string(), "", "unsaved work of a session"});
  } else if (name.starts_with(".open-")) {
    found.push_back({path.string(), "", "who has the folder open"});
  }
  return Done{};
}

}  // namespace

std::vector<PrivateFinding> private_in_layer(const Layer& layer, const std::string& file, bool allow_names) {
  std::vector<PrivateFinding> found;
  for (const Photo& photo : layer.photos) {
    const std::string where = "/photos/" + photo.id.text;
    if (photo.captured_at || photo.added_at || !photo.captured_offset.empty()) found.push_back({file, where, "when the photo was taken"});
    if (!photo.linked.empty()) found.push_back({file, where + "/linked", "links to a job"});
    if (const std::string what = place_of_a_machine(photo.note); !what.empty()) found.push_back({file, where + "/note", what});
    if (!photo.unknown.empty()) found.push_back({file, where, "members this version does not know"});
    if (!photo.registration) continue;
    if (!photo.registration->unknown.empty()) found.push_back({file, where + "/registration", "members this version does not know"});
    for (const Fiducial& fiducial : photo.registration->fiducials) {
      if (!fiducial.unknown.empty()) found.push_back({file, where + "/registration/fiducials", "members this version does not know"});
      if (const std::string what = place_of_a_machine(fiducial.name); !what.empty()) found.push_back({file, where + "/registration/fiducials", what});
    }
  }
  for (const FaultCount& fault : layer.faults)
    if (!fault.unknown.empty()) found.push_back({file, "/faults/" + fault.id.text, "members this version does not know"});
  for (const auto* unknown : {&layer.unknown, &layer.board.unknown, &layer.settings.unknown})
    if (!unknown->empty()) found.push_back({file, "/", "members this version does not know"});
  for (const Dispute& dispute : layer.disputes) found.push_back({file, "/disputes/" + dispute.id.text, "a dispute that nobody settled"});
  layer.marks.each([&](const MarkPtr& mark) { look_at_mark(*mark, file, allow_names, found); });
  return found;
}

Result<std::vector<PrivateFinding>> private_in(const fs::path& path, bool allow_names) {
  std::vector<PrivateFinding> found;
  std::error_code error;
  if (!fs::is_directory(path, error)) {
    if (Result<Done> done = look_at_file(path, allow_names, found); !done) return done.problem();
    return found;
  }
  std::vector<fs::path> files;
  // A link may lead out of the folder: not followed.
  for (auto entry = fs::recursive_directory_iterator(path, error); !error && entry != fs::recursive_directory_iterator(); entry.increment(error))
    if (entry->is_regular_file(error) && !entry->is_symlink(error)) files.push_back(entry->path());
  if (error) return system_problem(path, "a folder that can be read", error.value());
  std::sort(files.begin(), files.end());
  for (const fs::path& file : files)
    if (Result<Done> done = look_at_file(file, allow_names, found); !done) return done.problem();
  return found;
}

}  // namespace boardlore
