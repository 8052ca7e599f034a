// boardlore manual: the manual page and the shell's completion, written from the commands' own help, so that neither
// can say something else than `--help` does.
//
// man(7) macros as in groff_man(7); completion as in the bash manual, "Programmable Completion".
#include <algorithm>
#include <fstream>
#include <sstream>

#include "commands/command_support.h"
#include "commands/program_face.h"

namespace boardlore {
namespace {

// Roff takes a line that begins with . or ' as a request, and - for a hyphen that cannot be copied as a minus.
std::string roff(const std::string& words) {
  std::string out;
  for (const char c : words) {
    const bool first = out.empty() || out.back() == '\n';
    if (c == '\\') out += "\\e";
    else if (c == '-') out += "\\-";
    else if (first && (c == '.' || c == '\'')) out += std::string("\\&") + c;
    else out += c;
  }
  return out;
}

bool shown(const CLI::Option& option) { return !option.get_group().empty(); }

std::vector<CLI::App*> subcommands(CLI::App& app) {
  return app.get_subcommands([](CLI::App* sub) { return !sub->get_group().empty(); });
}

std::vector<std::string> names_of(const CLI::Option& option) {
  std::vector<std::string> names;
  for (const std::string& name : option.get_snames()) names.push_back("-" + name);
  for (const std::string& name : option.get_lnames()) names.push_back("--" + name);
  return names;
}

// "{owner,shop}" in what the option takes, else nothing.
std::vector<std::string> choices_of(const CLI::Option& option) {
  const std::string type = option.get_type_name();
  const std::size_t from = type.find('{'), to = type.find('}');
  std::vector<std::string> choices;
  if (from == std::string::npos || to == std::string::npos || to < from) return choices;
  std::string word;
  for (const char c : type.substr(from + 1, to - from - 1) + ",")
    if (c == ',') choices.push_back(std::exchange(word, {}));
    else word += c;
  return choices;
}

void write_man_command(std::ostream& out, CLI::App& app, const std::string& path) {
  if (!app.get_subcommands({}).empty() && !subcommands(app).empty()) {
    for (CLI::App* sub : subcommands(app)) write_man_command(out, *sub, path + " " + sub->get_name());
    return;
  }
  std::string usage;
  for (const CLI::Option* option : app.get_options())
    if (option->get_positional() && shown(*option)) {
      const std::string name = option->get_name(true) + (option->get_items_expected_max() > 1 ? " ..." : "");
      usage += option->get_required() ? " " + name : " [" + name + "]";
    }
  out << ".SS " << roff(path.substr(1) + usage) << "\n" << roff(app.get_description()) << "\n";
  for (const CLI::Option* option : app.get_options()) {
    if (!shown(*option) || option == app.get_help_ptr()) continue;
    out << ".TP\n";
    if (option->get_positional()) {
      out << ".I " << roff(option->get_name(true)) << "\n";
    } else {
      std::string names;
      for (const std::string& name : names_of(*option)) names += (names.empty() ? "" : ", ") + name;
      out << ".B " << roff(names) << "\n";
    }
    const std::string description = option->get_description();
    out << (description.empty() ? "\\&" : roff(description)) << "\n";
  }
}

void write_man(std::ostream& out, CLI::App& app) {
  out << ".TH BOARDLORE 1 \"\" \"boardlore 1.0.0\" \"User commands\"\n"
         ".SH NAME\nboardlore \\- bench notebook for circuit board repair\n"
         ".SH SYNOPSIS\n.B boardlore\n.RI [ COMMAND \" [\" ARGUMENTS ]]\n"
         ".SH DESCRIPTION\n" << roff(app.get_description()) << "\n.PP\n"
         "Without a command the window opens; F1 lists its keys. Measure before touching: board work can hurt people and ruin\n"
         "boards. Local codes and licensed practice take precedence over anything the program shows.\n"
         ".SH COMMANDS\n";
  for (CLI::App* sub : subcommands(app)) write_man_command(out, *sub, " " + sub->get_name());
  out << ".SH EXIT STATUS\n"
         ".TP\n.B 0\ndone\n.TP\n.B 1\na finding: out of limits, a conflict, no registration\n"
         ".TP\n.B 2\nbad usage or input\n.TP\n.B 3\nthe system failed\n"
         ".SH ENVIRONMENT\n"
         ".TP\n.B BOARDLORE_LIBRARY\nwhere boards and jobs lie; else Boardlore in the home folder\n"
         ".TP\n.B BOARDLORE_TECHNICIAN\nthe name that goes on readings and notes\n"
         ".TP\n.B BOARDLORE_INDEX\nwhere the shop index lies\n"
         ".TP\n.B BOARDLORE_SCALE\nsize of type and spacing in the window, 1 to 4\n"
         ".TP\n.B SOURCE_DATE_EPOCH\nthe time of the run in seconds since 1970, so that it repeats to the byte\n"
         ".SH FILES\n"
         ".TP\n.I $XDG_CONFIG_HOME/boardlore/settings, keys\nsettings and keys of the window, \"name = value\" a line; else in ~/.config\n"
         ".TP\n.I $XDG_STATE_HOME/boardlore/\nwhat was open lately, the window's place; else in ~/.local/state\n"
         ".TP\n.I $XDG_CACHE_HOME/boardlore/\nthe shop index and what else can be worked out again; else in ~/.cache\n";
}

void write_bash_cases(CLI::App& app, const std::string& path, std::ostream& steps, std::ostream& words, std::ostream& values) {
  std::string commands, options;
  for (CLI::App* sub : subcommands(app)) {
    const std::string below = path + " " + sub->get_name();
    commands += " " + sub->get_name();
    steps << "      '" << below << "') path='" << below << "' ;;\n";
    write_bash_cases(*sub, below, steps, words, values);
  }
  for (const CLI::Option* option : app.get_options()) {
    if (!shown(*option)) continue;
    for (const std::string& name : names_of(*option)) {
      options += " " + name;
      if (const std::vector<std::string> choices = choices_of(*option); !choices.empty()) {
        values << "    '" << path << " " << name << "') words='";
        for (const std::string& choice : choices) values << choice << " ";
        values << "' ;;\n";
      }
    }
  }
  words << "    '" << path << "') commands='" << commands << "' options='" << options << "' ;;\n";
}

void write_bash(std::ostream& out, CLI::App& app) {
  std::ostringstream steps, words, values;
  write_bash_cases(app, "", steps, words, values);
  out << "# Completion for boardlore, made by `boardlore manual --as bash`. Where nothing is offered, file names are.\n"
         "_boardlore() {\n"
         "  local cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD-1]} path='' commands='' options='' words='' i\n"
         "  for ((i = 1; i < COMP_CWORD; i++)); do\n"
         "    case \"$path ${COMP_WORDS[i]}\" in\n" << steps.str() <<
         "    esac\n"
         "  done\n"
         "  case \"$path\" in\n" << words.str() <<
         "  esac\n"
         "  case \"$path $prev\" in\n" << values.str() <<
         "    *) if [[ $cur == -* ]]; then words=$options; else words=$commands; fi ;;\n"
         "  esac\n"
         "  COMPREPLY=($(compgen -W \"$words\" -- \"$cur\"))\n"
         "}\n"
         "complete -o default -F _boardlore boardlore\n";
}

}  // namespace

void add_manual_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("manual", "Print the manual page or the shell's completion, made from this help");
  struct Given {
    std::string as = "man", out;
  };
  auto given = std::make_shared<Given>();
  app->add_option("--as", given->as, "man (roff) or bash (completion)")->check(CLI::IsMember({"man", "bash"}));
  app->add_option("-o,--output", given->out, "into this file instead of stdout");
  app->callback([&line, given] {
    std::ostringstream made;
    if (given->as == "man") write_man(made, *line.app);
    else write_bash(made, *line.app);
    if (given->out.empty()) return print(made.str());
    std::ofstream file(given->out, std::ios::binary | std::ios::trunc);
    file << made.str();
    file.close();
    if (!file) complain(line, {given->out, "", "a file that can be written", "it cannot", Outcome::system_failed});
  });
}

}  // namespace boardlore
