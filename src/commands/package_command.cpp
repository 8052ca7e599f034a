// boardlore package list | keep | drop: the table of packages, and the shop's own beside it.
#include <algorithm>
#include <cstdio>

#include "commands/command_support.h"
#include "commands/text_table.h"
#include "judging/package_table.h"
#include "storage/shop_file.h"

namespace boardlore {
namespace {

struct PackageOptions {
  std::string dir, refdes, name, find;
  bool own_only = false;
};

JsonOut json_package(const Package& p, bool own) {
  return {{"name", p.name}, {"family", package_family_name(p.family)}, {"pins", p.pins}, {"pitch_mm", p.pitch_mm}, {"span_mm", p.span_mm},
          {"body_mm", {p.body_length_mm, p.body_width_mm}}, {"source", p.source}, {"own", own}};
}

std::string lower(std::string text) {
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

void run_list(CommandLine& line, const PackageOptions& given) {
  const Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  const Result<Shop> shop = load_shop(shop_file_beside(folder->board_dir()));
  if (failed(line, shop)) return;
  JsonOut json = JsonOut::array();
  std::vector<std::vector<std::string>> table;
  const auto row = [&](const Package& p, bool own) {
    if (!given.find.empty() && lower(p.name).find(lower(given.find)) == std::string::npos) return;
    if (line.json) return json.push_back(json_package(p, own));
    char size[120];
    std::snprintf(size, sizeof size, "%d pins, pitch %.3g mm, body %.3g x %.3g mm", p.pins, p.pitch_mm, p.body_length_mm, p.body_width_mm);
    table.push_back({p.name, own ? "own" : "", size, p.source});
  };
  for (const Package& own : shop->packages) row(own, true);
  if (!given.own_only)
    for (const Package& common : common_packages()) row(common, false);
  if (line.json) return print_json(json);
  print(table.empty() ? "no package of that name\n" : text_table(table));
}

void run_keep(CommandLine& line, const PackageOptions& given) {
  const Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  const Result<MarkPtr> mark = mark_named(*folder, given.refdes);
  if (failed(line, mark)) return;
  if (!(*mark)->package) return complain(line, Problem{given.dir, given.refdes, "a part with a package (boardlore part set)", "none"});
  Package package = *(*mark)->package;
  if (!given.name.empty()) package.name = given.name;
  const std::filesystem::path file = shop_file_beside(folder->board_dir());
  const Result<Shop> shop = change_shop(file, [&](Shop& now) { return keep_package(now, package); });
  if (failed(line, shop)) return;
  if (line.json) return print_json(json_package(*find_own_package(*shop, package.name), true));
  print("kept " + package.name + " in " + file.string() + "\n");
}

void run_drop(CommandLine& line, const PackageOptions& given) {
  const Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  const Result<Shop> shop = change_shop(shop_file_beside(folder->board_dir()), [&](Shop& now) { return drop_package(now, given.name); });
  if (failed(line, shop)) return;
  if (line.json) return print_json({{"dropped", given.name}, {"own", shop->packages.size()}});
  print("dropped " + given.name + "; parts that have it keep it\n");
}

}  // namespace

void add_package_command(CommandLine& line) {
  CLI::App* family = line.app->add_subcommand("package", "Packages: the table, and the shop's own");
  family->require_subcommand(1);
  const auto given = std::make_shared<PackageOptions>();
  const auto subcommand = [&](const char* name, const char* about) {
    CLI::App* app = family->add_subcommand(name, about);
    app->add_option("DIR", given->dir, "a board's or a job's folder; the shop's file lies beside the board's")->required();
    app->add_flag("--json", line.json, "one JSON document on stdout");
    return app;
  };
  CLI::App* list = subcommand("list", "Every package with where its numbers come from");
  list->add_option("--find", given->find, "only names that hold this");
  list->add_flag("--own", given->own_only, "only the shop's own");
  list->callback([&line, given] { run_list(line, *given); });
  CLI::App* keep = subcommand("keep", "Keep a part's package as the shop's own, for every board");
  keep->add_option("REFDES", given->refdes, "the part that has it")->required();
  keep->add_option("--name", given->name, "under this name (default: as the part has it)");
  keep->callback([&line, given] { run_keep(line, *given); });
  CLI::App* drop = subcommand("drop", "Take one of the shop's own away");
  drop->add_option("NAME", given->name, "its name")->required();
  drop->callback([&line, given] { run_drop(line, *given); });
}

}  // namespace boardlore
