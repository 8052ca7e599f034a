// boardlore meter tcp:HOST:PORT|serial:DEV: one value of a bench meter, and what the entry line would take it for.
#include "commands/command_support.h"
#include "commands/program_face.h"
#include "exchange/meter_link.h"

namespace boardlore {

void add_meter_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("meter", "Read one value from a bench meter that speaks SCPI (IEEE 488.2)");
  struct Given {
    std::string address;
    double patience_s = 3;
  };
  auto given = std::make_shared<Given>();
  app->add_option("ADDRESS", given->address, "tcp:HOST:PORT or serial:DEV, serial:DEV@BAUD")->required();
  app->add_option("--patience", given->patience_s, "seconds to wait for the meter")->check(CLI::Range(0.1, 600.0));
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] {
    const Result<MeterAddress> address = parse_meter_address(given->address);
    if (failed(line, address)) return;
    const Result<MeterValue> read = read_meter(*address, std::chrono::milliseconds(static_cast<int>(given->patience_s * 1000)));
    if (failed(line, read)) return;
    if (line.json) {
      JsonOut json{{"meter", read->meter}, {"function", read->function}, {"overload", !read->value.has_value()}, {"entry", read->entry}};
      if (read->value) json["value"] = *read->value;
      if (read->quantity) json["quantity"] = quantity_name(*read->quantity), json["unit"] = ucum_code(*read->quantity);
      return print_json(json);
    }
    print(read->entry + "\n");
  });
}

}  // namespace boardlore
