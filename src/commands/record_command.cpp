// boardlore record: the job's record as PDF, HTML, JSON or Markdown.
#include <cstdio>
#include <unistd.h>

#include "commands/command_support.h"
#include "record/record_source.h"
#include "storage/file_bytes.h"

namespace boardlore {
namespace {

struct Given {
  std::string dir, out, audience = "owner", paper = "a4";
  int picture_px = PictureOptions{}.whole_px, quality = PictureOptions{}.quality;
};

void run(CommandLine& line, const Given& given) {
  const std::optional<RecordFormat> format = format_of(given.out);
  if (!format) return complain(line, Problem{given.out, "-o", "a name that ends in .pdf, .html, .json or .md", given.out});
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  RecordRequest request;
  request.format = *format;
  request.audience = given.audience == "shop" ? Audience::shop : Audience::owner;
  request.paper = given.paper == "letter" ? Paper::letter : Paper::a4;
  request.pictures.whole_px = given.picture_px;
  request.pictures.quality = given.quality;
  const bool tell = isatty(STDERR_FILENO) != 0;
  const auto progress = [&](double fraction) {
    if (tell) std::fprintf(stderr, "\rphotos %3.0f %%%s", 100 * fraction, fraction >= 1 ? "\n" : "");
  };
  const Result<std::string> bytes = make_record(*folder, request, progress);
  if (failed(line, bytes)) return;
  if (failed(line, write_file_atomically(given.out, *bytes))) return;
  if (line.json)
    print_json({{"file", given.out}, {"for", given.audience}, {"bytes", bytes->size()}, {"photos", folder->now().job->photos.size()},
                {"sha256", sha256_hex(*bytes)}});
  else
    print(given.out + ": record for the " + given.audience + ", " + spoken_size(bytes->size()) + "\n");
}

}  // namespace

void add_record_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("record", "Write the job's record: what was found, what was done, what was proved");
  const auto given = std::make_shared<Given>();
  app->add_option("JOBDIR", given->dir, "job folder")->required();
  app->add_option("-o,--out", given->out, "file to write: .pdf, .html, .json or .md")->required();
  app->add_option("--for", given->audience, "who reads it; the owner's leaves out internal notes and names")
      ->check(CLI::IsMember({"owner", "shop"}));
  app->add_option("--paper", given->paper, "of the PDF")->check(CLI::IsMember({"a4", "letter"}));
  app->add_option("--picture-px", given->picture_px, "longer side of a photo in it")->check(CLI::Range(200, 8000));
  app->add_option("--quality", given->quality, "JPEG quality of photos that are scaled")->check(CLI::Range(30, 95));
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] { run(line, *given); });
}

}  // namespace boardlore
