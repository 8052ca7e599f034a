// The record as Markdown, and the digest that every other form carries.
//
// The digest is the SHA-256 of this text from its first byte to the line before "## Digest", so that anybody
// with record.md and a hash program can check it, and a record on paper can be checked against the file.
// The photos are in it by their own SHA-256.
#pragma once

#include <string>

#include "record/record_model.h"

namespace boardlore {

std::string record_text(const Record& record);         // without the digest
std::string record_digest(const Record& record);       // 64 lower-case hex digits
std::string record_md(const Record& record);

}  // namespace boardlore
