#include "bench/sharing_sheet.h"

#include <algorithm>

#include "bench/command_table.h"
#include "bench/given_files.h"
#include "bench/widgets.h"
#include "storage/version_words.h"
#include "storage/merge.h"

namespace boardlore {
namespace {

constexpr std::size_t most_disputes_shown = 100;

// Values come from other people's files: no marks that the widgets would read, no line breaks.
std::string plain(std::string words, std::size_t most) {
  std::replace_if(words.begin(), words.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == '#'; }, ' ');
  if (words.size() > most) {
    std::size_t end = most;
    while (end > 0 && (static_cast<unsigned char>(words[end]) & 0xC0U) == 0x80U) --end;
    words = words.substr(0, end) + "…";
  }
  return words;
}

void settle(const Scene& scene, const Id& dispute, Choice choice) {
  scene.intents.push(intent::Work{"settle", [dispute, choice](Folder& folder) -> Result<std::string> {
                                    const Result<std::vector<Edit>> edits = settling_edits(folder.now(), dispute, choice);
                                    if (!edits) return edits.problem();
                                    if (Result<Done> done = folder.commit("settle", *edits); !done) return done.problem();
                                    return std::string();
                                  }});
}

void draw_dispute(const Scene& scene, const Dispute& dispute, std::size_t at) {
  const SpokenDispute spoken = spoken_dispute(scene.desk.snapshot, dispute);
  const std::string name = "settle-" + std::to_string(at);
  ImGui::PushID(dispute.id.text.c_str());
  ImGui::PushTextWrapPos(0);
  text(scene, scene.fonts.strong, scene.theme.text, plain(spoken.about, 120));
  ImGui::PopTextWrapPos();
  const float width = (ImGui::GetContentRegionAvail().x - scene.theme.grid(2)) / 2;
  const auto value = [&](const std::string& words) { return shortened(scene.fonts.body, plain(words, 200), width - scene.theme.grid(6)); };
  if (button(scene, (name + "-one").c_str(), value(spoken.one), false, width)) settle(scene, dispute.id, Choice::one);
  ImGui::SameLine();
  if (button(scene, (name + "-other").c_str(), value(spoken.other), false, width)) settle(scene, dispute.id, Choice::other);
  if (dispute.member == same_part_member && button(scene, (name + "-both").c_str(), "They are two parts: keep both")) settle(scene, dispute.id, Choice::both);
  ImGui::PopID();
}

void draw_versions(const Scene& scene, const SharingSheet& sheet) {
  text(scene, scene.fonts.strong, scene.theme.text, "Earlier versions");
  if (sheet.versions.empty()) return quiet(scene, sheet.at_work ? "looking …" : "None yet: one is kept with every save.");
  const float rows_h = static_cast<float>(sheet.versions.size()) * (ImGui::GetFrameHeight() + ImGui::GetStyle().ItemSpacing.y);
  ImGui::BeginChild("versions", ImVec2(0, std::min(scene.theme.grid(56), rows_h)));
  for (std::size_t i = 0; i < sheet.versions.size(); ++i) {
    const KeptVersion& version = sheet.versions[i].version;
    ImGui::PushID(version.number);
    if (button(scene, ("restore-" + std::to_string(i)).c_str(), "Bring back"))
      scene.intents.push(intent::Work{"bring back", [number = version.number](Folder& folder) -> Result<std::string> {
                                        if (Result<Done> done = folder.restore(number); !done) return done.problem();
                                        return "Version " + std::to_string(number) + " is back; undo takes it away again.";
                                      }});
    ImGui::SameLine();
    std::string when = to_rfc3339(version.saved_at).substr(0, 16);
    when[10] = ' ';
    ImGui::AlignTextToFramePadding();
    text(scene, scene.fonts.body, scene.theme.text, when + " UTC");
    ImGui::SameLine(0, scene.theme.grid(4));
    text(scene, scene.fonts.body, scene.theme.quiet, sheet.versions[i].holds);
    ImGui::PopID();
  }
  ImGui::EndChild();
}

// Off the frame: a share may be slow.
void list_versions(const Scene& scene, SharingSheet& sheet) {
  if (auto versions = sheet.listing.take()) {
    sheet.versions = std::move(*versions);
    std::reverse(sheet.versions.begin(), sheet.versions.end());
    sheet.at_work = false;
  }
  if (sheet.at_work || sheet.of_version == scene.desk.version) return;
  sheet.of_version = scene.desk.version;
  sheet.at_work = true;
  sheet.listing = Task<std::vector<ListedVersion>>::start([file = scene.desk.dir / (scene.desk.is_job() ? "job.json" : "layer.json")](const TaskReins& reins) {
    std::vector<ListedVersion> listed;
    for (const KeptVersion& version : versions_of(file)) listed.push_back({version, reins.stop.stop_requested() ? "" : spoken_content(version)});
    return listed;
  });
}

}  // namespace

std::string sharing_words(const DeskView& desk) {
  if (!desk.open) return {};
  if (desk.kept_here) return "kept on this machine";
  if (const std::size_t disputes = disputes_of(desk.snapshot).size(); disputes > 0) return std::to_string(disputes) + (disputes == 1 ? " dispute" : " disputes");
  if (desk.others.empty()) return {};
  const std::string& who = desk.others.front().who;
  return desk.others.size() > 1 ? std::to_string(desk.others.size()) + " others here" : plain(who.empty() ? "Somebody" : who, 16) + " is here";
}

void draw_sharing_sheet(const Scene& scene, SharingSheet& sheet, ImVec2 window) {
  if (!sheet.shown || !scene.desk.open) return;
  list_versions(scene, sheet);
  const Theme& t = scene.theme;
  const float width = std::min(window.x * 0.7F, t.grid(150));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(t.grid(5), t.grid(5)));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, 6 * t.scale);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 1);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(t.grid(2), t.grid(2)));
  ImGui::PushStyleColor(ImGuiCol_WindowBg, t.panel);
  ImGui::SetNextWindowPos(ImVec2(window.x / 2, window.y / 2), 0, ImVec2(0.5F, 0.5F));
  ImGui::SetNextWindowSizeConstraints(ImVec2(width, 0), ImVec2(width, window.y * 0.85F));
  ImGui::Begin("sharing", nullptr, ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoCollapse | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_AlwaysAutoResize | ImGuiWindowFlags_NoSavedSettings);
  heading(scene, "Shared with others");
  if (scene.desk.kept_here) quiet_wrapped(scene, "The folder cannot be reached. Edits are kept on this machine and saved when it is back.");
  quiet_wrapped(scene, scene.desk.others.empty() ? std::string("Nobody else has this folder open.")
                                                 : plain(spoken_presence(scene.desk.others), 200) + ": what they save comes in by itself.");
  separator(scene);
  const std::vector<Dispute>& disputes = disputes_of(scene.desk.snapshot);
  text(scene, scene.fonts.strong, disputes.empty() ? t.text : t.doubtful,
       disputes.empty() ? std::string("No disputes") : "Changed differently by two people: choose what holds");
  for (std::size_t i = 0; i < disputes.size() && i < most_disputes_shown; ++i) draw_dispute(scene, disputes[i], i);
  if (disputes.size() > most_disputes_shown) quiet(scene, "and " + std::to_string(disputes.size() - most_disputes_shown) + " more");
  separator(scene);
  draw_versions(scene, sheet);
  separator(scene);
  text(scene, scene.fonts.strong, t.text, "To give to others");
  if (scene.given.exported.empty()) quiet_wrapped(scene, "Nothing exported yet: " + key_words(Command::export_layer) + " writes the layer and a bundle with the photos, scrubbed.");
  draw_given_files(scene, "exported-file", "Exported, scrubbed of what is private", scene.given.exported);
  separator(scene);
  if (button(scene, "sharing-close", "Close")) sheet.shown = false;
  ImGui::End();
  ImGui::PopStyleColor();
  ImGui::PopStyleVar(4);
}

}  // namespace boardlore
