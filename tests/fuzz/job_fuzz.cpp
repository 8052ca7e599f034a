// Law: whatever the bytes, reading them as a job gives a job or a Problem that says what was expected; a job
// written, read and written again is the same bytes, and it can be laid over a board and taken off again.
#include <cstdint>

#include "demand.h"
#include "storage/documents.h"

using namespace boardlore;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Result<JobDocument> job = read_job(std::string_view(reinterpret_cast<const char*>(data), size), "fuzz");
  if (!job) {
    demand(!job.problem().expected.empty(), "a Problem says what was expected");
    return 0;
  }
  const std::string written = write_job(*job);
  const Result<JobDocument> again = read_job(written, "written");
  demand(bool(again), "what was written can be read");
  demand(write_job(*again) == written, "read and written again: the same bytes");
  const Layer board;
  (void)write_job(job_document(job->job, board, layer_of_job(board, *job)));
  return 0;
}
