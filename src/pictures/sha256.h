// What a photo's bytes are, in 64 digits: two people can tell whether they hold the same photo, and a
// record can be checked against the file years later. SHA-256 (FIPS 180-4) by OpenSSL.
#pragma once

#include <cstddef>
#include <filesystem>
#include <span>
#include <string>

#include "domain/problem.h"

namespace boardlore {

// Lower-case hex. Reads the file in pieces: any size.
Result<std::string> sha256_of_file(const std::filesystem::path& path);
std::string sha256_of(std::span<const std::byte> bytes);

}  // namespace boardlore
