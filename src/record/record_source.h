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
};

// By the file's ending: .pdf .html .htm .json .md; nullopt: another.
std::optional<RecordFormat> format_of(const std::filesystem::path& out);

// All that a record is made from, as values: it can be made beside whoever goes on working in the folder.
struct RecordSubject {
  Snapshot snapshot;
  PhotoPathFn path_of;
  Timestamp made_at;
};
RecordSubject subject_of(const Folder& folder);

// What judging says now, and which photos are missing or not as they were taken in.
RecordInput record_input(const RecordSubject& subject, Audience audience);

// The bytes of one file for each of the formats, in their order (`request.format` is not looked at); photos are
// decoded once for all of them. Refused for a board folder. Slow: run it off the frame.
Result<std::vector<std::string>> make_records(const RecordSubject& subject, const RecordRequest& request,
                                              const std::vector<RecordFormat>& formats, const ProgressFn& progress = {},
                                              std::stop_token stop = {});
Result<std::string> make_record(const Folder& folder, const RecordRequest& request, const ProgressFn& progress = {},
                                std::stop_token stop = {});

}  // namespace boardlore
