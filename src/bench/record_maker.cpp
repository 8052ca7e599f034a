#include "bench/record_maker.h"

#include <map>

#include "record/record_source.h"
#include "storage/file_bytes.h"

namespace boardlore {
namespace {

Result<std::string> write_records(const RecordSubject& subject, const std::filesystem::path& dir, Audience audience, const TaskReins& reins) {
  const std::string name = audience == Audience::shop ? "record-shop" : "record";
  RecordRequest request;
  request.audience = audience;
  const Result<std::vector<std::string>> files = make_records(
      subject, request, {RecordFormat::pdf, RecordFormat::html}, [&](double done) { *reins.progress = done; }, reins.stop);
  if (!files) return files.problem();
  if (const auto done = write_file_atomically(dir / (name + ".pdf"), (*files)[0]); !done) return done.problem();
  if (const auto done = write_file_atomically(dir / (name + ".html"), (*files)[1]); !done) return done.problem();
  return "Wrote " + name + ".pdf and " + name + ".html into " + dir.string();
}

}  // namespace

void RecordMaker::make(const DeskView& desk, Audience audience, Timestamp now) {
  if (!desk.is_job()) return;
  std::map<Id, std::filesystem::path> paths;
  for (const DeskPhoto& entry : desk.photos) paths[entry.photo.id] = entry.path;
  const auto path_of = [paths = std::move(paths)](const Photo& photo) {
    const auto there = paths.find(photo.id);
    return there == paths.end() ? std::filesystem::path() : there->second;
  };
  task_.stop();
  under_way_ = true;
  task_ = Task<Result<std::string>>::start([subject = RecordSubject{desk.snapshot, path_of, now}, dir = desk.dir, audience](const TaskReins& reins) {
    return write_records(subject, dir, audience, reins);
  });
}

std::optional<Result<std::string>> RecordMaker::take() {
  auto done = task_.take();
  if (!done) return std::nullopt;
  under_way_ = false;
  if (!*done && done->problem().found == kStopped) return Result<std::string>(std::string("The record was not made: stopped."));
  return done;
}

}  // namespace boardlore
