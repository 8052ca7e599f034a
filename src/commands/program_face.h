// Subcommands about the program itself and the bench around it: its manual, the window's keys, a meter on the bench.
#pragma once

namespace boardlore {

struct CommandLine;

void add_manual_command(CommandLine& line);
void add_keys_command(CommandLine& line);
void add_meter_command(CommandLine& line);

}  // namespace boardlore
