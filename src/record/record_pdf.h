// The record as a PDF: real text, photos as JPEG, overlays as vectors, bookmarks and tags.
//
// Cairo passes a JPEG on byte for byte, so photos come in scrubbed or re-encoded (record_pictures.h) and
// lose nothing more here. The pages are laid out twice: once without ink to count them, once for good.
#pragma once

#include <string>

#include "record/record_pictures.h"

namespace boardlore {

enum class Paper { a4, letter };

struct PdfOptions {
  Paper paper = Paper::a4;
  Timestamp made_at;  // into the document information; the same time gives the same bytes
};

// The file's bytes.
Result<std::string> record_pdf(const Record& record, const std::vector<PreparedPicture>& pictures, const PdfOptions& options);

}  // namespace boardlore
