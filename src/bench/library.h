// Where boards and jobs lie, which were open lately, and the demo board of a first start.
//
// The library is $BOARDLORE_LIBRARY, else "Boardlore" in the home folder, with boards/ and jobs/ in it. What was
// open lately is remembered in $XDG_STATE_HOME/boardlore/recent (XDG Base Directory Specification 0.8).
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace boardlore {

struct LibraryEntry {
  std::filesystem::path dir;
  bool is_job = false;
  std::string name;      // folder's name
  std::string detail;    // where it lies
  std::string title;     // of a board maker, model and revision, of a job what was reported and on which board; empty: not read yet, or not there
  std::filesystem::path picture;  // a photo of it; empty: none, or not looked for yet
  bool titled = false;   // whether the title was asked for
  bool looked = false;   // whether its files were looked at yet: done when it comes into view
  bool hidden = false;   // holds no document
};

std::filesystem::path library_dir();
// A page of it: the shop index finds the rest.
constexpr std::size_t most_listed = 1000;
// Recent ones first, then boards by name, then jobs by name, the last (newest) first; folders that are gone are left
// out. What a folder holds is not looked at: most rows are never seen.
std::filesystem::path picture_of(const std::filesystem::path& dir);
// What the document in it calls itself; empty: it does not say, or can't be read. Reads the whole file: never in a frame.
std::string title_of(const std::filesystem::path& dir, bool is_job);
std::vector<LibraryEntry> list_library(const std::filesystem::path& library);
void remember_opened(const std::filesystem::path& dir);
// Holds layer.json or job.json.
bool is_document_folder(const std::filesystem::path& dir);
// A name for a folder from what people typed: letters, digits and dashes.
std::string folder_name(const std::string& words);
// Copies the demo board into the library where it is not there yet; empty: the installation has none.
std::filesystem::path lay_out_demo(const std::filesystem::path& library);

}  // namespace boardlore
