#include "bench/worklist.h"

#include <algorithm>
#include <cctype>
#include <map>

#include "bench/command_table.h"
#include "bench/shop_hits.h"
#include "bench/stage_line.h"
#include "bench/widgets.h"
#include "editing/mark_rules.h"
#include "judging/judge.h"

namespace boardlore {
namespace {

std::string lowered(std::string words) {
  std::transform(words.begin(), words.end(), words.begin(), [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return words;
}

// Lower comes first.
int rank(MarkKind kind, Stage stage) {
  const bool measuring = stage == Stage::measure;
  switch (kind) {
    case MarkKind::probe: return measuring ? 0 : 2;
    case MarkKind::part: return 1;
    case MarkKind::keepout: return stage == Stage::before_lifting ? 0 : 3;
    case MarkKind::pin1: return 4;
    case MarkKind::note: return 5;
  }
  return 6;
}

std::string detail_of(const Mark& mark) {
  if (mark.kind == MarkKind::keepout) return mark.reason + (mark.max_temperature_c ? " " + std::to_string(static_cast<int>(*mark.max_temperature_c)) + " °C" : "");
  if (!mark.value.empty()) return mark.value;
  if (mark.package && !mark.package->name.empty()) return mark.package->name;
  if (mark.kind == MarkKind::probe) return mark.text;
  return {};
}

}  // namespace

int compare_designators(const std::string& a, const std::string& b) {
  const auto split = [](const std::string& s) {
    std::size_t at = 0;
    while (at < s.size() && !std::isdigit(static_cast<unsigned char>(s[at]))) ++at;
    std::size_t end = at;
    while (end < s.size() && std::isdigit(static_cast<unsigned char>(s[end])) && end - at < 9) ++end;
    const long number = end > at ? std::stol(s.substr(at, end - at)) : -1;
    return std::tuple(s.substr(0, at), number, s.substr(end));
  };
  const auto x = split(a), y = split(b);
  return x < y ? -1 : y < x ? 1 : 0;
}

std::vector<WorklistRow> worklist_rows(const DeskView& desk, Stage stage, const std::string& filter) {
  std::vector<WorklistRow> rows;
  if (!desk.snapshot.layer) return rows;
  std::map<Id, const Reading*> latest;
  std::map<Id, Judgement> worst;
  if (desk.snapshot.job) {
    Timestamp last;
    for (const Reading& reading : desk.snapshot.job->readings) {
      const Reading*& newest = latest[reading.mark];
      if (!newest || newest->taken_at <= reading.taken_at) newest = &reading;
      last = std::max(last, reading.taken_at);
    }
    worst = worst_verdicts(*desk.snapshot.layer, *desk.snapshot.job, last);
  }
  std::vector<std::string> words;
  std::string word;
  for (const char c : lowered(filter) + " ") {
    if (c != ' ') {
      word += c;
    } else if (!word.empty()) {
      words.push_back(std::exchange(word, {}));
    }
  }
  std::map<std::string, int> uses;
  desk.snapshot.layer->marks.each([&](const MarkPtr& mark) {
    const bool named = mark->kind == MarkKind::part || mark->kind == MarkKind::probe;
    if (named && !mark->refdes.empty()) ++uses[lowered(mark->refdes)];
  });
  desk.snapshot.layer->marks.each([&](const MarkPtr& mark) {
    WorklistRow row{mark->id, mark->kind, mark->side, mark->refdes, detail_of(*mark), false, false, std::nullopt};
    if (const auto it = worst.find(mark->id); it != worst.end()) row.worst = it->second.verdict;
    if (row.name.empty()) row.name = mark->text.empty() ? kind_words(mark->kind) : mark->text;
    row.duplicate = (mark->kind == MarkKind::part || mark->kind == MarkKind::probe) && !mark->refdes.empty() && uses[lowered(mark->refdes)] > 1;
    std::string nets;
    if (!words.empty())
      for (const auto& [pin, net] : mark->nets) nets += " " + net;
    const std::string haystack = lowered(row.name + " " + row.detail + " " + kind_words(row.kind) + " " + mark->text + nets);
    if (!std::all_of(words.begin(), words.end(), [&](const std::string& w) { return haystack.find(w) != std::string::npos; })) return;
    // What it read last says more than what it is, and stands first where there is no room for both.
    if (const auto it = latest.find(mark->id); it != latest.end())
      row.detail = (it->second->pin.empty() ? "" : it->second->pin + ": ") + print_reading(*it->second) + (row.detail.empty() ? "" : "  ") + row.detail;
    rows.push_back(std::move(row));
  });
  std::stable_sort(rows.begin(), rows.end(), [&](const WorklistRow& a, const WorklistRow& b) {
    const int ra = rank(a.kind, stage), rb = rank(b.kind, stage);
    return ra != rb ? ra < rb : compare_designators(a.name, b.name) < 0;
  });
  return rows;
}

void bring_findings_forward(std::vector<WorklistRow>& rows, const Compared& compared) {
  for (WorklistRow& row : rows)
    if (const PartComparison* part = compared.part(row.mark); part && is_finding(part->verdict)) {
      row.finding = true;
      row.detail = verdict_words(*part);
    }
  std::stable_partition(rows.begin(), rows.end(), [](const WorklistRow& row) { return row.finding; });
}

Id search_hit(const std::vector<WorklistRow>& rows, const std::string& filter) {
  if (filter.empty()) return {};
  for (const WorklistRow& row : rows)
    if (lowered(row.name) == lowered(filter)) return row.mark;
  return rows.empty() ? Id{} : rows.front().mark;
}

const Id* neighbour_in_worklist(const std::vector<WorklistRow>& rows, const Id& current, int step) {
  if (rows.empty()) return nullptr;
  const auto it = std::find_if(rows.begin(), rows.end(), [&](const WorklistRow& row) { return row.mark == current; });
  const int n = static_cast<int>(rows.size());
  const int at = it == rows.end() ? (step > 0 ? -1 : 0) : static_cast<int>(it - rows.begin());
  return &rows[static_cast<std::size_t>(((at + step) % n + n) % n)].mark;
}

void draw_worklist(const Scene& scene, BenchState& state) {
  const Theme& t = scene.theme;
  const std::vector<WorklistRow>& rows = scene.derived.worklist(scene.desk, state.stage, state.filter);
  if (std::exchange(state.focus_filter, false)) ImGui::SetKeyboardFocusHere();
  field(scene, "search", (std::string(symbol::search) + "  Search, " + key_words(Command::search)).c_str(), state.filter);
  bool enter_shop = false;
  if (entered()) {
    const Id hit = search_hit(rows, state.filter);
    if (!hit.empty()) {
      scene.intents.push(intent::ShowMark{hit});
      state.filter.clear();
    } else if (!state.filter.empty()) {
      enter_shop = !scene.shop.found(state.filter).hits.empty();
      if (!enter_shop) scene.faults.refuse("search", state.filter, "Nothing is called so, here or in the shop.");
    }
  }
  if (scene.layer().marks.empty()) {
    quiet_wrapped(scene, "No marks yet. Register a photo (G), then press P and click three corners of a part.");
    return;
  }
  quiet(scene, rows.size() == scene.layer().marks.size() ? std::to_string(rows.size()) + " marks"
                                                         : std::to_string(rows.size()) + " of " + std::to_string(scene.layer().marks.size()));
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(0, 0));
  // One box for everything: the marks of this board, and beneath them whatever else the shop has.
  const bool ask_shop = state.filter.size() > 1;
  const float avail = ImGui::GetContentRegionAvail().y, rows_height = ask_shop ? std::min(avail * 0.45F, t.grid(7) * static_cast<float>(rows.size()) + t.grid(2)) : avail;
  ImGui::BeginChild("worklist-rows", ImVec2(0, rows_height));
  const float height = t.grid(7), width = ImGui::GetContentRegionAvail().x;
  ImDrawList& list = *ImGui::GetWindowDrawList();
  // What is chosen elsewhere is brought into view, once: who scrolls on is not held back. In a new stage with nothing chosen the
  // list begins where that stage does.
  const std::string this_list = stage_name(state.stage) + "/" + state.filter;
  const bool other_list = std::exchange(state.followed_list, this_list) != this_list, other_mark = !(std::exchange(state.followed_mark, state.shown) == state.shown);
  if (other_list || other_mark) {
    const auto row = std::find_if(rows.begin(), rows.end(), [&](const WorklistRow& r) { return r.mark == state.shown; });
    const float y = height * static_cast<float>(row - rows.begin()), room = ImGui::GetWindowHeight();
    if (row != rows.end() && (y < ImGui::GetScrollY() || y + height > ImGui::GetScrollY() + room)) ImGui::SetScrollY(std::max(0.F, y - room / 2));
    if (row == rows.end() && other_list) ImGui::SetScrollY(0);
  }
  ImGuiListClipper clipper;
  clipper.Begin(static_cast<int>(rows.size()), height);
  while (clipper.Step())
    for (int i = clipper.DisplayStart; i < clipper.DisplayEnd; ++i) {
      const WorklistRow& row = rows[static_cast<std::size_t>(i)];
      ImGui::PushID(row.mark.text.c_str());
      const ImVec2 at = ImGui::GetCursorScreenPos();
      if (ImGui::InvisibleButton("row", ImVec2(width, height))) {
        if (ImGui::GetIO().KeyCtrl) {
          if (state.selected.erase(row.mark) == 0) state.selected.insert(row.mark), state.shown = row.mark;
        } else {
          scene.intents.push(intent::ShowMark{row.mark});
        }
      }
      const bool hovered = ImGui::IsItemHovered(), chosen = state.selected.contains(row.mark);
      scene.anchors.note("worklist-" + row.name);
      if (chosen || hovered)
        list.AddRectFilled(at, ImVec2(at.x + width, at.y + height), chosen ? t.strong : t.raised, 4 * t.scale);
      const ImU32 ink = chosen ? t.on_strong : t.text, second = chosen ? t.on_strong : t.quiet;
      const float middle = at.y + height / 2;
      if (chosen) list.AddRectFilled(ImVec2(at.x + t.grid(0.5F), at.y + t.grid(0.75F)), ImVec2(at.x + t.grid(6), at.y + height - t.grid(0.75F)), t.bench, 3 * t.scale);
      draw_kind_shape(list, t, row.kind, ImVec2(at.x + t.grid(3.25F), middle), t.grid(3));
      const float right = row.worst ? t.grid(10) : t.grid(6);
      const std::string name = shortened(scene.fonts.body, row.name, width - t.grid(14));
      list.AddText(scene.fonts.body, scene.fonts.body->FontSize, ImVec2(at.x + t.grid(7.5F), middle - scene.fonts.body->FontSize / 2), row.duplicate && !chosen ? t.bad : ink, name.c_str());
      const float name_end = t.grid(7.5F) + scene.fonts.body->CalcTextSizeA(scene.fonts.body->FontSize, FLT_MAX, 0, name.c_str()).x + t.grid(2);
      const std::string detail = row.duplicate ? std::string(symbol::warning) + " twice" : row.finding ? std::string(symbol::warning) + " " + row.detail : row.detail;
      const std::string cut = shortened(scene.fonts.small, detail, width - name_end - right);
      if (cut != "…")
        list.AddText(scene.fonts.small, scene.fonts.small->FontSize, ImVec2(at.x + name_end, middle - scene.fonts.small->FontSize / 2), (row.duplicate || row.finding) && !chosen ? t.bad : second, cut.c_str());
      // The worst verdict by shape as well as by colour: a warning, a tick, a ring where nothing says yet.
      if (row.worst) {
        const bool out = is_out_of_limits(*row.worst), good = *row.worst == Verdict::within_limits;
        list.AddText(scene.fonts.small, scene.fonts.small->FontSize, ImVec2(at.x + width - t.grid(8), middle - scene.fonts.small->FontSize / 2),
                     chosen ? t.on_strong : out ? t.bad : good ? t.good : t.quiet, out ? symbol::warning : good ? symbol::check : "○");
      }
      const char* side = row.side == Side::top ? "T" : "B";
      list.AddText(scene.fonts.small, scene.fonts.small->FontSize, ImVec2(at.x + width - t.grid(4), middle - scene.fonts.small->FontSize / 2), second, side);
      ImGui::PopID();
    }
  ImGui::EndChild();
  ImGui::PopStyleVar();
  if (!ask_shop) return;
  separator(scene);
  text(scene, scene.fonts.strong, t.text, "In the shop");
  draw_shop_hits(scene, scene.shop.found(state.filter), scene.desk.dir, ImGui::GetContentRegionAvail().y, enter_shop);
}

}  // namespace boardlore
