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

void look_at_photos(const PhotoPathFn& path_of, RecordInput& input) {
  for (const Photo& photo : input.snapshot.job->photos) {
    const Result<std::string> found = sha256_of_file(path_of(photo));
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

RecordSubject subject_of(const Folder& folder) {
  return {folder.now(), [&folder](const Photo& photo) { return folder.photo_path(photo); }, folder.session().now()};
}

RecordInput record_input(const RecordSubject& subject, Audience audience) {
  RecordInput input;
  input.snapshot = subject.snapshot;
  input.audience = audience;
  if (!input.snapshot.job) return input;
  judge(input);
  look_at_photos(subject.path_of, input);
  return input;
}

Result<std::vector<std::string>> make_records(const RecordSubject& subject, const RecordRequest& request,
                                              const std::vector<RecordFormat>& formats, const ProgressFn& progress, std::stop_token stop) {
  const RecordInput input = record_input(subject, request.audience);
  const Result<Record> record = record_of(input);
  if (!record) return record.problem();
  std::vector<PreparedPicture> pictures;
  const auto shows_pictures = [](RecordFormat format) { return format == RecordFormat::pdf || format == RecordFormat::html; };
  if (std::any_of(formats.begin(), formats.end(), shows_pictures)) {
    Result<std::vector<PreparedPicture>> prepared = prepare_pictures(*record, input.snapshot, subject.path_of, request.pictures, progress, stop);
    if (!prepared) return prepared.problem();
    pictures = *std::move(prepared);
  }
  std::vector<std::string> files;
  for (const RecordFormat format : formats) {
    if (stop.stop_requested()) return Problem{"", "record", "to finish", kStopped};
    switch (format) {
      case RecordFormat::json: files.push_back(record_json(*record, request.audience)); break;
      case RecordFormat::md: files.push_back(record_md(*record)); break;
      case RecordFormat::html: files.push_back(record_html(*record, pictures)); break;
      case RecordFormat::pdf: {
        Result<std::string> pdf = record_pdf(*record, pictures, {request.paper, subject.made_at});
        if (!pdf) return pdf.problem();
        files.push_back(*std::move(pdf));
      }
    }
  }
  return files;
}

Result<std::string> make_record(const Folder& folder, const RecordRequest& request, const ProgressFn& progress, std::stop_token stop) {
  Result<std::vector<std::string>> files = make_records(subject_of(folder), request, {request.format}, progress, std::move(stop));
  if (!files) return files.problem();
  return std::move(files->front());
}

}  // namespace boardlore
