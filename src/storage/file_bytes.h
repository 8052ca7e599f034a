// Files whole: read with a limit, written so that a power cut leaves the old or the new, never half.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

#include "domain/problem.h"

namespace boardlore {

// Regular files only; at most `limit` bytes.
Result<std::string> read_file(const std::filesystem::path& path, std::size_t limit = 256ULL << 20U);

// A temporary file in the same folder, flushed to disk, renamed over `path`, the folder flushed. Where the
// last fails the new bytes are in place, but might not outlive a power cut: a Problem too.
Result<Done> write_file_atomically(const std::filesystem::path& path, std::string_view bytes);

// The names in a folder to disk. Network file systems that know no such thing are taken as done.
Result<Done> flush_folder(const std::filesystem::path& folder);

// The words of errno for `what` on `path`: exit code 3.
Problem system_problem(const std::filesystem::path& path, std::string_view what, int error);

std::string sha256_hex(std::string_view bytes);

// "123 bytes", "4.2 MB"
std::string spoken_size(std::size_t bytes);

}  // namespace boardlore
