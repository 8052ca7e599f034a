// boardlore log JOBDIR LINE... : readings, notes and actions, one line each, as typed in the window.
#include "commands/command_support.h"
#include "commands/judgement_json.h"
#include "commands/terminal_text.h"
#include "editing/entry_edits.h"

namespace boardlore {
namespace {

struct LogOptions {
  std::string dir, power, red, black, instrument, ambient;
  bool red_said = false, black_said = false, instrument_said = false, ambient_said = false;  // said, if only to be empty
  std::vector<std::string> lines;
  bool as_default = false, dry_run = false;
};

// Lines of the arguments; "-" stands for the lines of stdin. Empty lines and "#" remarks are passed over.
Result<std::vector<std::string>> typed_lines(const std::vector<std::string>& arguments) {
  std::vector<std::string> lines;
  for (const std::string& argument : arguments) {
    std::string text = argument;
    if (argument == "-") {
      const Result<std::string> read = read_argument_file("-");
      if (!read) return read.problem();
      text = *read;
    }
    for (std::size_t at = 0; at <= text.size();) {
      const std::size_t end = std::min(text.find('\n', at), text.size());
      std::string one = text.substr(at, end - at);
      while (!one.empty() && (one.back() == '\r' || one.back() == ' ')) one.pop_back();
      if (argument != "-" || (!one.empty() && one[0] != '#')) lines.push_back(std::move(one));
      at = end + 1;
    }
  }
  return lines;
}

Conditions given_conditions(const LogOptions& given, Conditions conditions) {
  if (!given.power.empty()) conditions.power = given.power == "on" ? Power::on : Power::off;
  // An empty text takes a default away.
  if (given.red_said) conditions.red_lead = given.red;
  if (given.black_said) conditions.black_lead = given.black;
  if (given.instrument_said) conditions.instrument = given.instrument;
  if (given.ambient_said) conditions.ambient = given.ambient;
  return conditions;
}

std::string conditions_words(const Conditions& held) {
  std::string words = "power " + std::string(power_name(held.power)) + ", black lead on " + (held.black_lead.empty() ? "GND" : held.black_lead);
  if (!held.red_lead.empty()) words += ", red lead on " + held.red_lead;
  if (!held.instrument.empty()) words += ", with " + held.instrument;
  if (!held.ambient.empty()) words += ", " + held.ambient;
  return words;
}

JsonOut json_conditions(const Conditions& held) {
  return {{"power", power_name(held.power)}, {"red_lead", held.red_lead}, {"black_lead", held.black_lead}, {"instrument", held.instrument}, {"ambient", held.ambient}};
}

// The typed line again, a mark under the character, and what would do there.
void show_stop(const std::string& text, std::size_t column, const std::string& message, const std::string& accepted) {
  std::fprintf(stderr, "not entered: %s\n%*s^\n", safe_for_terminal(text).c_str(), static_cast<int>(std::min<std::size_t>(column, 200)) + 12, "");
  std::fprintf(stderr, "at character %zu: %s; expected %s\n", column, safe_for_terminal(message).c_str(), safe_for_terminal(accepted).c_str());
}

void print_entered(const EntryLine& entry, const std::optional<Judgement>& judgement) {
  std::string text = understood(entry) + "\n";
  if (judgement) {
    text += "  " + std::string(verdict_words(judgement->verdict)) + ": " + judgement->reason + "\n";
    if (!judgement->before_after.empty()) text += "  " + judgement->before_after + "\n";
    for (const std::string& remark : judgement->remarks) text += "  " + remark + "\n";
  }
  for (const std::string& caution : entry.cautions) text += "  caution: " + caution + "\n";
  print(text);
}

void run_log(CommandLine& line, const LogOptions& given) {
  const Result<std::vector<std::string>> lines = typed_lines(given.lines);
  if (failed(line, lines)) return;
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  if (!folder->is_job()) return complain(line, {given.dir, "", "a job folder", "a board folder"});
  if (given.as_default) {
    Job job = *folder->now().job;
    job.defaults = given_conditions(given, job.defaults);
    if (failed(line, folder->commit(ChangeJob{std::move(job), "default conditions"}))) return;
  }
  JsonOut json = JsonOut::array();
  const EntryStamp stamp{[&] { return folder->session().new_id(); }, folder->session().now(), folder->session().technician};
  std::size_t stopped = 0;
  for (const std::string& text : *lines) {
    EntryContext context = entry_context(folder->now());
    context.defaults = given_conditions(given, context.defaults);
    const ParsedEntry parsed = parse_entry_line(text, context);
    const auto* entry = std::get_if<EntryLine>(&parsed);
    if (!entry) {
      ++stopped;
      if (const auto* fault = std::get_if<EntryFault>(&parsed)) {
        show_stop(text, fault->column, fault->message, fault->accepted);
        json.push_back({{"line", text}, {"entered", false}, {"column", fault->column}, {"message", fault->message}, {"accepted", fault->accepted}});
      } else {
        const auto& question = std::get<EntryQuestion>(parsed);
        std::string choices;
        JsonOut options = JsonOut::array();
        for (const EntryChoice& choice : question.choices) {
          choices += "\n  \"" + choice.line + "\" (" + choice.meaning + ")";
          options.push_back({{"line", choice.line}, {"meaning", choice.meaning}});
        }
        show_stop(text, question.column, question.question, "one of:" + choices);
        json.push_back({{"line", text}, {"entered", false}, {"column", question.column}, {"message", question.question}, {"choices", options}});
      }
      continue;
    }
    const auto judgement = judge_entry(folder->now(), *entry, stamp.now);
    if (!given.dry_run) {
      const std::string name = entry->kind == EntryLine::Kind::job_note ? "note" : "log " + entry->refdes;
      if (failed(line, folder->commit(name, edits_of(folder->now(), *entry, stamp)))) return;
    }
    if (line.json) {
      JsonOut one{{"line", text}, {"entered", !given.dry_run}, {"understood", understood(*entry)}};
      if (judgement) one.update(json_judgement(*judgement));
      if (!entry->cautions.empty()) one["cautions"] = entry->cautions;
      json.push_back(std::move(one));
    } else {
      print_entered(*entry, judgement);
    }
  }
  if (!given.dry_run && folder->unsaved() && failed(line, folder->save())) return;
  if (line.json && lines->empty()) print_json(json_conditions(folder->now().job->defaults));
  else if (line.json) print_json(json);
  else if (lines->empty()) print("this job's conditions: " + conditions_words(folder->now().job->defaults) + "\n");
  if (stopped > 0) line.outcome = Outcome::bad_input;
}

}  // namespace

void add_log_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("log", "Enter readings, notes and actions of a job, one line each");
  auto given = std::make_shared<LogOptions>();
  app->add_option("JOBDIR", given->dir, "job folder")->required();
  app->add_option("LINE", given->lines, "as in \"C14 10.5k rising\", \"U3.7 0.452 V diode\", \"U3 note lifted pad 7\"; - reads lines from standard input");
  app->add_option("--power", given->power, "power state where a line says none")->check(CLI::IsMember({"on", "off"}));
  app->add_option("--red", given->red, "where the red lead is");
  app->add_option("--black", given->black, "where the black lead is");
  app->add_option("--instrument", given->instrument, "the meter");
  app->add_option("--ambient", given->ambient, "free note on the surroundings");
  app->add_flag("--as-default", given->as_default, "keep these conditions as the job's defaults (an empty text takes one away)");
  app->add_flag("--dry-run", given->dry_run, "say how the lines are understood and judged; enter nothing");
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given, app] {
    for (const auto& [option, said] : {std::pair("--red", &given->red_said), std::pair("--black", &given->black_said),
                                       std::pair("--instrument", &given->instrument_said), std::pair("--ambient", &given->ambient_said)})
      *said = app->count(option) > 0;
    run_log(line, *given);
  });
}

}  // namespace boardlore
