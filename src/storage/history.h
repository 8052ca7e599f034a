// Earlier versions of a document, kept in `.history` beside it.
//
// What a save is about to replace gets a second name first (a hard link costs no room and no time; a copy
// where the file system has none), so every version that was ever the document can be had back. The number
// is bounded: the newest, and of what is older the last one of each day.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "domain/id.h"
#include "domain/problem.h"

namespace boardlore {

// Documented in README.md; at the edge: kept.
constexpr std::size_t newest_versions_kept = 30;
constexpr std::size_t daily_versions_kept = 30;

struct KeptVersion {
  int number = 0;      // rises with every save
  Timestamp saved_at;  // when it was written
  std::uintmax_t bytes = 0;
  std::filesystem::path path;
};

// Oldest first; empty: none.
std::vector<KeptVersion> versions_of(const std::filesystem::path& document_file);
// The text of one of them; the Problem lists those there are.
Result<std::string> version_text(const std::filesystem::path& document_file, int number);

// Keeps `document_file` as it lies there now and lets go of what is over the bound. Call it under the
// folder's lock, just before the file is replaced.
Result<Done> keep_version(const std::filesystem::path& document_file);

// Which of them go. Oldest first; exposed for its test.
std::vector<KeptVersion> versions_over_bound(const std::vector<KeptVersion>& versions);

}  // namespace boardlore
