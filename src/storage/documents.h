// Layer and job documents: text to values and back. boards/README.md is the format's own description.
#pragma once

#include <string>
#include <string_view>

#include "domain/job.h"
#include "domain/problem.h"
#include "domain/shop.h"

namespace boardlore {

// `file` names the text in a Problem. Unknown members are kept, a newer major version is refused.
Result<Layer> read_layer(std::string_view text, const std::string& file);
std::string write_layer(const Layer& layer);

// A job as its file holds it: the marks it added or changed, beside what they were.
struct JobDocument {
  Job job;
  std::vector<Mark> marks, marks_before, removed_marks;
  bool operator==(const JobDocument&) const = default;
};
Result<JobDocument> read_job(std::string_view text, const std::string& file);
std::string write_job(const JobDocument& document);

Result<Shop> read_shop(std::string_view text, const std::string& file);
std::string write_shop(const Shop& shop);

// The marks of a job laid over its board: `board` with the job's changes. Marks that the board changed
// since are kept as the job has them only where the job changed them.
Layer layer_of_job(const Layer& board, const JobDocument& document);
// The other way: what `now` changes against `board`.
JobDocument job_document(const Job& job, const Layer& board, const Layer& now);

// Every fault, not only the first; empty: fine. Tells layers, jobs and shops apart by their "format".
std::vector<Problem> check_document(std::string_view text, const std::string& file);

// One mark as JSON text on one line, and back; for the journal and for tests.
std::string write_mark(const Mark& mark);
Result<Mark> read_mark(std::string_view text, const std::string& file);

}  // namespace boardlore
