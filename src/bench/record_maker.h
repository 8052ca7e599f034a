// The record's files, made beside the frame and beside the desk: work in the folder goes on meanwhile.
#pragma once

#include "bench/desk.h"
#include "bench/tasks.h"

namespace boardlore {

enum class Audience;  // record/record_model.h

class RecordMaker {
 public:
  // record.pdf and record.html (record-shop.*) into the job's folder, of the document as it stands.
  void make(const DeskView& desk, Audience audience, Timestamp now);
  void stop() { task_.stop(); }
  // What was written, or what went wrong; nothing of it where it was stopped.
  std::optional<Result<std::string>> take();
  bool working() const { return task_.running() || under_way_; }
  double progress() const { return task_.progress(); }

 private:
  bool under_way_ = false;
  Task<Result<std::string>> task_;
};

}  // namespace boardlore
