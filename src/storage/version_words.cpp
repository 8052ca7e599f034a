#include "storage/version_words.h"

#include <set>

#include "storage/documents.h"
#include "storage/file_bytes.h"

namespace boardlore {
namespace {

std::string counted(std::size_t n, const char* one, const char* many) { return std::to_string(n) + " " + (n == 1 ? one : many); }

}  // namespace

std::string spoken_content(const KeptVersion& version) {
  const std::string size = spoken_size(static_cast<std::size_t>(version.bytes));
  const auto text = read_file(version.path);
  if (!text) return size;
  if (version.path.filename().string().ends_with("-job.json")) {
    const Result<JobDocument> job = read_job(*text, version.path.string());
    if (!job) return size;
    std::set<Id> worked_on;
    for (const Action& action : job->job.actions) worked_on.insert(action.mark);
    return counted(job->job.readings.size(), "reading", "readings") + ", " + counted(worked_on.size(), "part worked on", "parts worked on") + ", " +
           counted(job->job.photos.size(), "photo", "photos") + (job->job.hand_back ? ", handed back" : "");
  }
  const Result<Layer> layer = read_layer(*text, version.path.string());
  if (!layer) return size;
  return counted(layer->marks.size(), "mark", "marks") + ", " + counted(layer->photos.size(), "photo", "photos");
}

}  // namespace boardlore
