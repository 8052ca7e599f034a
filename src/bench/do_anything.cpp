#include "bench/do_anything.h"

#include <fcntl.h>
#include <poll.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cctype>
#include <csignal>

#include "bench/widgets.h"

#include <imgui_internal.h>

extern char** environ;

namespace boardlore {
namespace {

constexpr std::size_t most_output = 200 * 1000;
constexpr std::size_t most_rows = 9;

char small(char c) { return static_cast<char>(std::tolower(static_cast<unsigned char>(c))); }

// What the terminal would show, without its control characters.
std::string plain(const std::string& text) {
  std::string out;
  for (const char c : text)
    if (static_cast<unsigned char>(c) >= 0x20 || c == '\n') out += c;
  return out;
}

}  // namespace

int letters_fit(const std::string& sought, const std::string& words) {
  int fit = 0;
  std::size_t at = 0, last = std::string::npos;
  for (const char wanted : sought) {
    if (wanted == ' ') continue;
    // The beginning of a word before any other place: "tv" finds "turn view".
    std::size_t any = std::string::npos, begin = std::string::npos;
    for (std::size_t i = at; i < words.size(); ++i) {
      if (small(words[i]) != small(wanted)) continue;
      if (any == std::string::npos) any = i;
      const bool starts = i == 0 || !std::isalnum(static_cast<unsigned char>(words[i - 1]));
      if (starts) {
        begin = i;
        break;
      }
    }
    if (any == std::string::npos) return 0;
    const bool run = last != std::string::npos && any == last + 1;
    const std::size_t taken = run || begin == std::string::npos ? any : begin;
    fit += taken == 0 ? 9 : taken == begin ? 6 : run ? 5 : 1;
    last = taken;
    at = taken + 1;
  }
  // Of two that fit alike, the shorter.
  return fit == 0 ? 1 : fit * 16 - static_cast<int>(std::min<std::size_t>(words.size(), 15)) + 1;
}

std::optional<std::vector<std::string>> split_words(const std::string& line) {
  std::vector<std::string> words;
  std::string word;
  bool inside = false;
  char quote = 0;
  for (const char c : line) {
    if (quote != 0) {
      if (c == quote) quote = 0;
      else word += c;
    } else if (c == '"' || c == '\'') {
      quote = c, inside = true;
    } else if (c == ' ' || c == '\t') {
      if (inside) words.push_back(std::exchange(word, {}));
      inside = false;
    } else {
      word += c, inside = true;
    }
  }
  if (quote != 0) return std::nullopt;
  if (inside) words.push_back(word);
  return words;
}

void DoAnything::use(std::vector<Verb> verbs, std::filesystem::path program) {
  verbs_ = std::move(verbs);
  program_ = std::move(program);
}

void DoAnything::open(BenchState& state) {
  state.doing_shown = true;
  focus_ = true;
  line_.clear(), output_.clear(), ran_line_.clear();
  chosen_ = 0;
}

void DoAnything::close(BenchState& state) {
  state.doing_shown = false;
  waiting_to_run_ = false;
  run_.stop();
}

std::vector<DoAnything::Row> DoAnything::rows(bool mark_chosen) const {
  std::vector<Row> found;
  if (line_.empty() || line_.back() != '\t')
    for (const CommandRow& row : command_table())
      if (row.words[0] != 0 && row.command != Command::do_anything && row.command != Command::cancel)
        if (const int fit = std::max(letters_fit(line_, row.words), letters_fit(line_, command_name(row.command))); fit > 0) found.push_back({fit + (line_.empty() && std::string_view(row.group) == (mark_chosen ? "Marks" : "Photo in view") ? 1 : 0), &row, nullptr});  // what is in hand comes first
  for (const Verb& verb : verbs_) {
    // Once its arguments are being typed, a verb stays in sight with its usage.
    const bool begun = line_.starts_with(verb.name + " ");
    const int fit = begun ? 100000 : std::max(letters_fit(line_, verb.name), letters_fit(line_, verb.words) / 2);
    if (fit > 0) found.push_back({fit, nullptr, &verb});
  }
  std::stable_sort(found.begin(), found.end(), [](const Row& a, const Row& b) { return a.fit > b.fit; });
  return found;
}

// The program itself in the open folder, as a person would run it there: "." is this board or job.
void DoAnything::start(const Scene& scene) {
  const auto words = split_words(ran_line_);
  if (!words) {
    output_ = "A quote is left open.", exit_code_ = 2;
    return;
  }
  output_.clear();
  run_ = Task<Ran>::start([words = *words, program = program_, dir = scene.desk.open ? scene.desk.dir : std::filesystem::path()](const TaskReins& reins) -> Ran {
    Ran ran;
    int ends[2];
    if (::pipe2(ends, O_CLOEXEC) != 0) return {3, "No pipe could be opened."};
    posix_spawn_file_actions_t actions;
    ::posix_spawn_file_actions_init(&actions);
    ::posix_spawn_file_actions_addopen(&actions, 0, "/dev/null", O_RDONLY, 0);
    ::posix_spawn_file_actions_adddup2(&actions, ends[1], 1);
    ::posix_spawn_file_actions_adddup2(&actions, ends[1], 2);
    if (!dir.empty()) ::posix_spawn_file_actions_addchdir_np(&actions, dir.c_str());
    std::vector<std::string> arguments{program.string()};
    arguments.insert(arguments.end(), words.begin(), words.end());
    std::vector<char*> raw;
    for (std::string& argument : arguments) raw.push_back(argument.data());
    raw.push_back(nullptr);
    pid_t child = 0;
    const int failed = ::posix_spawn(&child, program.c_str(), &actions, nullptr, raw.data(), environ);
    ::posix_spawn_file_actions_destroy(&actions);
    ::close(ends[1]);
    if (failed != 0) {
      ::close(ends[0]);
      return {3, "It could not be started."};
    }
    for (bool open = true; open;) {
      pollfd one{ends[0], POLLIN, 0};
      const int ready = ::poll(&one, 1, 100);
      if (reins.stop.stop_requested()) ::kill(child, SIGTERM);
      if (ready <= 0) continue;
      char block[4096];
      const ssize_t n = ::read(ends[0], block, sizeof block);
      open = n > 0;
      if (n > 0 && ran.output.size() < most_output) ran.output.append(block, static_cast<std::size_t>(n));
    }
    ::close(ends[0]);
    int status = 0;
    ::waitpid(child, &status, 0);
    ran.exit_code = WIFEXITED(status) ? WEXITSTATUS(status) : 3;
    return ran;
  });
}

void DoAnything::draw(const Scene& scene, BenchState& state, ImVec2 window) {
  const Theme& t = scene.theme;
  // What stands in the journal is written first: the program opens the folder as anybody else would.
  if (waiting_to_run_ && !scene.desk.unsaved) waiting_to_run_ = false, start(scene);
  if (auto ran = run_.take()) {
    output_ = plain(ran->output), exit_code_ = ran->exit_code;
    if (output_.empty()) output_ = "Done.";
  }
  const ImVec2 size(std::min(t.grid(190), window.x - t.grid(8)), std::min(t.grid(118), window.y - t.grid(12)));
  ImGui::SetNextWindowPos(ImVec2((window.x - size.x) / 2, t.grid(8)));
  ImGui::SetNextWindowSize(size);
  if (focus_) ImGui::SetNextWindowFocus();
  ImGui::PushStyleColor(ImGuiCol_WindowBg, t.panel);
  ImGui::PushStyleColor(ImGuiCol_Border, t.quiet);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, 8 * t.scale);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(t.grid(5), t.grid(4)));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 1);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(t.grid(2), t.grid(1)));  // nine whole rows
  ImGui::Begin("do-anything", nullptr, ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings | ImGuiWindowFlags_NoNav);
  heading(scene, "Do");
  ImGui::SameLine();
  quiet(scene, "   a few letters, ↑ ↓ to choose, Enter; Esc closes");
  std::vector<Row> found = rows(scene.desk.open && !state.shown.empty());
  if (chosen_ >= found.size()) chosen_ = found.empty() ? 0 : found.size() - 1;
  if (std::exchange(focus_, false)) ImGui::SetKeyboardFocusHere();
  const std::string before = line_;
  field(scene, "do-line", "turn, ruler, copy, compare …", line_, -1);
  // What a chosen verb put into the line is written behind its last letter.
  if (ImGui::IsItemActive() && std::exchange(to_end_, false))
    if (ImGuiInputTextState* typed = ImGui::GetInputTextState(ImGui::GetItemID())) typed->Stb.cursor = typed->Stb.select_start = typed->Stb.select_end = typed->CurLenW;
  const bool enter = entered();
  if (line_ != before) chosen_ = 0, output_.clear();
  if (ImGui::IsKeyPressed(SDL_SCANCODE_DOWN, true) && chosen_ + 1 < found.size()) ++chosen_;
  if (ImGui::IsKeyPressed(SDL_SCANCODE_UP, true) && chosen_ > 0) --chosen_;
  const Verb* begun = nullptr;
  for (const Verb& verb : verbs_)
    if ((line_ == verb.name || line_.starts_with(verb.name + " ")) && (!begun || verb.name.size() > begun->name.size())) begun = &verb;
  bool take = enter;
  const bool running = working();
  if (output_.empty() && !running) {
    const float row_h = t.grid(9);
    ImDrawList& list = *ImGui::GetWindowDrawList();
    const std::size_t first = chosen_ >= most_rows ? chosen_ - most_rows + 1 : 0;
    for (std::size_t i = first; i < found.size() && i < first + most_rows; ++i) {
      const Row& row = found[i];
      ImGui::PushID(static_cast<int>(i));
      const ImVec2 at = ImGui::GetCursorScreenPos();
      const float width = ImGui::GetContentRegionAvail().x;
      if (ImGui::InvisibleButton("row", ImVec2(width, row_h))) chosen_ = i, take = true;
      scene.anchors.note("do-" + std::to_string(i));
      if (i == chosen_ || ImGui::IsItemHovered()) list.AddRectFilled(at, ImVec2(at.x + width, at.y + row_h), i == chosen_ ? t.hover : t.raised, 4 * t.scale);
      const std::string left = row.command ? row.command->words : row.verb->usage;
      const std::string right = row.command ? row.command->group + ("    " + key_words(*row.command)) : row.verb->words;
      const float left_w = row.command ? width * 0.7F : width * 0.48F;
      ImFont* font = scene.fonts.body;
      list.AddText(font, font->FontSize, ImVec2(at.x + t.grid(2), at.y + (row_h - font->FontSize) / 2), t.text, shortened(font, left, left_w - t.grid(3)).c_str());
      ImFont* small_font = scene.fonts.small;
      const std::string cut = shortened(small_font, right, width - left_w - t.grid(2));
      const float right_w = small_font->CalcTextSizeA(small_font->FontSize, FLT_MAX, 0, cut.c_str()).x;
      const float x = row.command ? at.x + width - right_w - t.grid(2) : at.x + left_w;
      list.AddText(small_font, small_font->FontSize, ImVec2(x, at.y + (row_h - small_font->FontSize) / 2), t.quiet, cut.c_str());
      ImGui::PopID();
    }
    if (found.empty()) quiet(scene, "Nothing is called that. F1 lists the keys.");
  } else if (running) {
    quiet(scene, "boardlore " + ran_line_ + " …");
    if (button(scene, "do-stop", "Stop")) waiting_to_run_ = false, run_.stop();
  } else {
    const char* ends[] = {"done", "a finding", "not understood", "failed"};
    text(scene, scene.fonts.small, exit_code_ == 0 ? t.quiet : exit_code_ == 1 ? t.doubtful : t.bad,
         "boardlore " + ran_line_ + ":  " + ends[std::clamp(exit_code_, 0, 3)]);
    ImGui::BeginChild("do-output", ImVec2(0, 0));
    ImGui::PushFont(scene.fonts.value);
    ImGui::PushTextWrapPos(0);
    ImGui::TextUnformatted(output_.c_str(), output_.c_str() + output_.size());
    ImGui::PopTextWrapPos();
    ImGui::PopFont();
    ImGui::EndChild();
  }
  if (take && !running) {
    focus_ = true;
    if (enter && begun) {
      ran_line_ = line_;
      waiting_to_run_ = true;
      if (scene.desk.unsaved) scene.intents.push(intent::Save{});
    } else if (chosen_ < found.size() && output_.empty()) {
      const Row row = found[chosen_];
      if (row.command) {
        close(state);
        ask_for(row.command->command);
      } else {
        line_ = row.verb->name + (scene.desk.open && row.verb->usage.find("DIR") != std::string::npos ? " . " : " ");
        to_end_ = true;
        chosen_ = 0;
      }
    }
  }
  ImGui::End();
  ImGui::PopStyleVar(4);
  ImGui::PopStyleColor(2);
}

}  // namespace boardlore
