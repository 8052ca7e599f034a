// The record as one JSON document: what record.md says, for programs.
#pragma once

#include <string>

#include "record/record_model.h"

namespace boardlore {

// {"format": "boardlore-record", "version": "1.0", "for": "owner", "title": ..., "sections": [...],
//  "text_sha256": ...}; the digest is that of record_md.h.
std::string record_json(const Record& record, Audience audience);

}  // namespace boardlore
