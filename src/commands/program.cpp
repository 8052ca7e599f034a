#include "commands/program.h"

#include <cstdio>
#include <exception>

#include "commands/program_face.h"
#include "commands/terminal_text.h"

namespace boardlore {
void add_read_designators_command(CommandLine& line);
namespace {

using AddCommand = void (*)(CommandLine&);
// One line a command file.
constexpr AddCommand commands[] = {
    add_version_command,
    add_new_command,
    add_photo_command,
    add_register_command,
    add_mark_command,
    add_marks_command,
    add_locate_command,
    add_export_command,
    add_cover_command,
    add_who_command,
    add_check_command,
    add_log_command,
    add_readings_command,
    add_judge_command,
    add_limit_command,
    add_learn_command,
    add_decode_command,
    add_discharge_command,
    add_open_command,
    add_watch_command,
    add_addendum_command,
    add_reopen_command,
    add_hand_back_command,
    add_record_command,
    add_draw_command,
    add_pins_command,
    add_part_command,
    add_package_command,
    add_clearance_command,
    add_before_lift_command,
    add_action_command,
    add_steps_command,
    add_merge_command,
    add_diff_command,
    add_settle_command,
    add_history_command,
    add_git_setup_command,
    add_privacy_command,
    add_import_command,
    add_marks_csv_command,
    add_read_designators_command,
    add_index_command,
    add_find_command,
    add_usual_faults_command,
    add_symptom_command,
    add_compare_command,
    add_straighten_command,
    add_mosaic_command,
    add_manual_command,
    add_keys_command,
    add_meter_command,
    add_sharpness_command,
};

}  // namespace

void complain(CommandLine& line, const Problem& problem) {
  std::fprintf(stderr, "boardlore: %s\n", safe_for_terminal(to_text(problem)).c_str());
  line.outcome = problem.outcome == Outcome::done ? Outcome::bad_input : problem.outcome;
}

int run_program(int argc, char** argv) {
  CLI::App app{"A bench notebook for people who repair circuit boards at component level."};
  app.name("boardlore");
  app.require_subcommand(0, 1);
  app.failure_message(CLI::FailureMessage::simple);
  CommandLine line;
  line.app = &app;
  for (int i = 1; i < argc; ++i) line.words += std::string(argv[i]) + '\0';
  for (const AddCommand add : commands) add(line);
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    const int code = app.exit(error);
    return code == 0 ? 0 : static_cast<int>(Outcome::bad_input);
  } catch (const std::exception& error) {
    std::fprintf(stderr, "boardlore: %s\n", safe_for_terminal(error.what()).c_str());
    return static_cast<int>(Outcome::system_failed);
  }
  return static_cast<int>(line.outcome);
}

}  // namespace boardlore
