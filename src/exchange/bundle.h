// A layer and its reference photos in one file, for another shop: a ZIP archive (PKWARE APPNOTE 6.3) of `layer.json` and
// the photos it names, nothing else.
//
// One from a stranger is hostile until it is read whole and checked: names that leave the folder, links, a few bytes
// that unpack to all memory, files nobody asked for, pictures that are none. Only then a new folder is made, in one
// rename; nothing that is there is ever overwritten.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

#include "exchange/export_layer.h"

namespace boardlore {

// Documented in README.md; at the edge: accepted.
inline constexpr std::size_t max_bundle_bytes = 512ULL << 20U;
inline constexpr std::size_t max_bundle_entries = 400;
inline constexpr std::uint64_t max_bundle_unpacked_bytes = 1ULL << 30U;
// Text of a layer packs to a tenth, hardly to a fiftieth; what unpacks to more than this is meant to fill a disk.
inline constexpr std::uint64_t max_bundle_ratio = 200;
inline constexpr std::uint64_t bundle_ratio_counts_from_bytes = 1ULL << 20U;

// The same files give the same bytes: names sorted, no times, no names of users.
Result<std::string> bundle_bytes(const SharedFiles& files);
// Writes it to `out` (replacing an earlier one there), and says what went in.
Result<SharedFiles> export_bundle(const Folder& folder, const std::filesystem::path& out, bool keep_names = false);

// Everything checked: the layer can be read, each photo is a JPEG or PNG that decodes, is named by the layer and has
// the hash it says. Photos are scrubbed once more, so that what a stranger left in them does not come in either.
Result<SharedFiles> read_bundle(std::string_view bytes, const std::string& name);
Result<SharedFiles> read_bundle_file(const std::filesystem::path& file);

// Into a new board folder; `dir` must not exist or be empty.
Result<SharedFiles> unpack_bundle(const std::filesystem::path& file, const std::filesystem::path& dir);

}  // namespace boardlore
