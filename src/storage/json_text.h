// JSON text from outside, checked before anything believes it (RFC 8259).
//
// A file from a stranger can be deep, huge, carry a member twice, numbers that overflow or bytes that are
// not UTF-8. All of that is refused here with the place, so that nothing above has to ask.
#pragma once

#include <nlohmann/json.hpp>
#include <string_view>

#include "domain/problem.h"

namespace boardlore::storage {

using Json = nlohmann::ordered_json;

// Limits on any document; at the edge: accepted. Documented in boards/README.md.
constexpr std::size_t max_document_bytes = 256ULL << 20U;
constexpr int max_depth = 32;
constexpr std::size_t max_members = 4096;       // of one object
constexpr std::size_t max_elements = 2'000'000; // of one array
constexpr std::size_t max_string_bytes = 1U << 20U;

// `file` is for the Problem alone; where: "byte 123" or a JSON pointer.
Result<Json> parse_json(std::string_view text, const std::string& file);

}  // namespace boardlore::storage
