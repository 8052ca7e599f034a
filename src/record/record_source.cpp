#include "record/record_source.h"

#include <algorithm>
#include <cctype>

#include "judging/judge.h"
#include "pictures/sha256.h"
#include "record/record_html.h"
#include "record/record_json.h"
#include "record/record_md.h"

namespace boardlore {
namespace {

std::string spoken_limit(const Mark& mark, const PointKey& point) {
  const Limit* limit = limit_for(mark, point);
  if (!limit) return "";
  const auto print = [&](double value) { return print_engineering(value, limit->quantity); };
  if (limit->low && limit->high) return print(*limit->low) + " to " + print(*limit->high);
  if (limit->low) return "at least " + print(*limit->low);
  if (limit->high) return "at most " + print(*limit->high);
  return "";
}

void judge(RecordInput& input) {
  const Job& job = *input.snapshot.job;
  const Layer& layer = *input.snapshot.layer;
  // A verdict is told as of the newest thing in the job, so that the same job gives the same record.
  Timestamp as_of = job.opened_at;
  for (const Reading& reading : job.readings) as_of = std::max(as_of, reading.taken_at);
  if (job.hand_back) as_of = job.hand_back->at;
  const std::vector<Judgement> judgements = judge_readings(layer, job, as_of);
  for (std::size_t i = 0; i < judgements.size() && i < job.readings.size(); ++i) {
    const Reading& reading = job.readings[i];
    const Judgement& judged = judgements[i];
    ReadingVerdict verdict;
    if (judged.verdict != Verdict::nothing_to_compare) verdict.verdict = std::string(verdict_words(judged.verdict));
    verdict.fault = is_out_of_limits(judged.verdict);
    if (const MarkPtr mark = layer.marks.find(reading.mark)) verdict.limit = spoken_limit(*mark, point_of(reading));
    input.verdicts[reading.id] = std::move(verdict);
    for (const std::string& caution : judged.cautions)
      if (std::find(input.more_cautions.begin(), input.more_cautions.end(), caution) == input.more_cautions.end())
        input.more_cautions.push_back(caution);
  }
}

void look_at_photos(const Folder& folder, RecordInput& input) {
  for (const Photo& photo : input.snapshot.job->photos) {
    const Result<std::string> found = sha256_of_file(folder.photo_path(photo));
    if (!found)
      input.photo_faults[photo.id] = "missing";
    else if (!photo.sha256.empty() && *found != photo.sha256)
      input.photo_faults[photo.id] = "changed since it was taken in";
  }
}

}  // namespace

std::optional<RecordFormat> format_of(const std::filesystem::path& out) {
  std::string ending = out.extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(), [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  if (ending == ".pdf") return RecordFormat::pdf;
  if (ending == ".html" || ending == ".htm") return RecordFormat::html;
  if (ending == ".json") return RecordFormat::json;
  if (ending == ".md") return RecordFormat::md;
  return std::nullopt;
}

RecordInput record_input(const Folder& folder, Audience audience) {
  RecordInput input;
  input.snapshot = folder.now();
  input.audience = audience;
  if (!input.snapshot.job) return input;
  judge(input);
  look_at_photos(folder, input);
  return input;
}

Result<std::string> make_record(const Folder& folder, const RecordRequest& request, const ProgressFn& progress, std::stop_token stop) {
  RecordInput input = record_input(folder, request.audience);
  input.comparisons = request.comparisons;
  const Result<Record> record = record_of(input);
  if (!record) return record.problem();
  if (request.format == RecordFormat::json) return record_json(*record, request.audience);
  if (request.format == RecordFormat::md) return record_md(*record);
  const Result<std::vector<PreparedPicture>> pictures = prepare_pictures(
      *record, input.snapshot, [&](const Photo& photo) { return folder.photo_path(photo); }, request.pictures, progress, stop);
  if (!pictures) return pictures.problem();
  if (request.format == RecordFormat::html) return record_html(*record, *pictures);
  return record_pdf(*record, *pictures, {request.paper, folder.session().now()});
}

}  // namespace boardlore
