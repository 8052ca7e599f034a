// The command line: `boardlore` and its subcommands. Each subcommand is one file in this folder.
#pragma once

#include <CLI/CLI.hpp>
#include <functional>

#include "domain/problem.h"

namespace boardlore {

// Parses, runs, prints; returns the exit code (domain/problem.h: Outcome).
int run_program(int argc, char** argv);

// What a subcommand's callback leaves behind.
struct CommandLine {
  CLI::App* app = nullptr;
  bool json = false;                 // --json of the subcommand that ran
  std::string words;                 // the whole command line as given, for repeatable ids
  Outcome outcome = Outcome::done;
};

// Each `add_..._command` declares one subcommand (or a family of them, `new board`, `new job`) and what
// it runs. Kept alive by the App: capture values by shared_ptr.
void add_version_command(CommandLine& line);
void add_new_command(CommandLine& line);
void add_photo_command(CommandLine& line);
void add_register_command(CommandLine& line);
void add_mark_command(CommandLine& line);
void add_marks_command(CommandLine& line);
void add_locate_command(CommandLine& line);
void add_export_command(CommandLine& line);  // and unpack
void add_cover_command(CommandLine& line);
void add_who_command(CommandLine& line);
void add_check_command(CommandLine& line);
void add_log_command(CommandLine& line);
void add_readings_command(CommandLine& line);
void add_judge_command(CommandLine& line);
void add_limit_command(CommandLine& line);
void add_learn_command(CommandLine& line);
void add_decode_command(CommandLine& line);
void add_discharge_command(CommandLine& line);
void add_open_command(CommandLine& line);
void add_watch_command(CommandLine& line);
void add_addendum_command(CommandLine& line);
void add_reopen_command(CommandLine& line);
void add_hand_back_command(CommandLine& line);
void add_record_command(CommandLine& line);
void add_draw_command(CommandLine& line);
void add_pins_command(CommandLine& line);
void add_part_command(CommandLine& line);
void add_package_command(CommandLine& line);
void add_clearance_command(CommandLine& line);
void add_before_lift_command(CommandLine& line);
void add_action_command(CommandLine& line);
void add_steps_command(CommandLine& line);
void add_merge_command(CommandLine& line);
void add_diff_command(CommandLine& line);
void add_settle_command(CommandLine& line);
void add_history_command(CommandLine& line);  // and restore
void add_git_setup_command(CommandLine& line);
void add_privacy_command(CommandLine& line);
void add_import_command(CommandLine& line);
void add_marks_csv_command(CommandLine& line);
void add_read_designators_command(CommandLine& line);
void add_index_command(CommandLine& line);
void add_find_command(CommandLine& line);
void add_usual_faults_command(CommandLine& line);
void add_symptom_command(CommandLine& line);
void add_compare_command(CommandLine& line);
void add_straighten_command(CommandLine& line);
void add_mosaic_command(CommandLine& line);
void add_sharpness_command(CommandLine& line);

// Prints the problem on stderr as "boardlore: ..." (control characters made visible) and sets the outcome.
void complain(CommandLine& line, const Problem& problem);

}  // namespace boardlore
