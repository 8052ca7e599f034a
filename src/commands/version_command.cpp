#include <cstdio>

#include "commands/program.h"

namespace boardlore {

void add_version_command(CommandLine& line) {
  line.app->set_version_flag("--version", "boardlore 1.0.0, layer and job format 1.0");
}

}  // namespace boardlore
