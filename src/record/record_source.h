// A record from an open job folder: judging, photos and clock brought together, in any of the four forms.
//
// The window's one click and `boardlore record` both come here.
#pragma once

#include "record/record_model.h"
#include "record/record_pdf.h"
#include "storage/folder.h"

namespace boardlore {

enum class RecordFormat { pdf, html, json, md };

struct RecordRequest {
  RecordFormat format = RecordFormat::pdf;
  Audience audience = Audience::owner;
  Paper paper = Paper::a4;
  PictureOptions pictures;
  std::map<Id, std::string> comparisons;  // by mark; what the before/after comparison answered
};

// By the file's ending: .pdf .html .htm .json .md; nullopt: another.
std::optional<RecordFormat> format_of(const std::filesystem::path& out);

// What judging says now, and which photos are missing or not as they were taken in.
RecordInput record_input(const Folder& folder, Audience audience);

// The bytes of the file. Refused for a board folder. Slow (photos are decoded): run it off the frame.
Result<std::string> make_record(const Folder& folder, const RecordRequest& request, const ProgressFn& progress = {},
                                std::stop_token stop = {});

}  // namespace boardlore
