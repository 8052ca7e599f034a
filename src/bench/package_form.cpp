#include "bench/package_form.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "bench/widgets.h"
#include "geometry/package_placing.h"
#include "judging/package_table.h"
#include "storage/shop_file.h"

namespace boardlore {
namespace {

std::optional<double> positive(std::string words) {
  std::replace(words.begin(), words.end(), ',', '.');
  const double value = std::strtod(words.c_str(), nullptr);
  return std::isfinite(value) && value > 0 && value < 10000 ? std::optional(value) : std::nullopt;
}

void take(const Scene& scene, BenchState& state, PackageForm& form) {
  if (form.name.empty()) return;
  const std::string width = form.body.substr(std::min(form.body.find_first_of("xX*"), form.body.size()));
  for (const auto& [field, words, expected, understood] : {std::tuple{"package-pins", &form.pins, "Expected a number, as 48.", positive(form.pins).has_value()},
                                                           std::tuple{"package-pitch", &form.pitch, "Expected mm, as 0.5.", positive(form.pitch).has_value()},
                                                           std::tuple{"package-body", &form.body, "Expected mm, as 7x7.", positive(form.body) && (width.empty() || positive(width.substr(1)))}})
    if (!words->empty() && !understood) return scene.faults.refuse(field, *words, expected);
  PackageWords words;
  words.name = form.name;
  if (const auto pins = positive(form.pins)) words.pins = static_cast<int>(*pins);
  words.pitch_mm = positive(form.pitch);
  // "7x7"; one number is a square.
  const std::size_t by = form.body.find_first_of("xX*");
  words.body_length_mm = positive(form.body.substr(0, by));
  words.body_width_mm = by == std::string::npos ? words.body_length_mm : positive(form.body.substr(by + 1));
  const auto package = package_from_words(words, *scene.desk.shop);
  if (!package) {
    // What is missing may be the pins or the pitch; it is about the package as it was named.
    return scene.faults.refuse("package-name", form.name, "Expected " + package.problem().expected + ".", state.last_package.name);
  }
  state.last_package = *package;
  state.gesture.picked.clear();
}

void keep(const Scene& scene, Package package) {
  scene.intents.push(intent::Work{"keep the package", [package = std::move(package)](Folder& folder) -> Result<std::string> {
    const std::filesystem::path file = shop_file_beside(folder.board_dir());
    const Result<Shop> kept = change_shop(file, [&](Shop& shop) { return keep_package(shop, package); });
    if (!kept) return kept.problem();
    return "Kept for every board: " + package.name + " (" + file.filename().string() + ")";
  }});
}

// Those the shop keeps: a click takes one in hand, the cross takes it out of the file.
void draw_own(const Scene& scene, BenchState& state, PackageForm& form) {
  const std::vector<Package>& own = scene.desk.shop->packages;
  const Package& hand = state.last_package;
  const Package* kept = find_own_package(*scene.desk.shop, hand.name);
  if (hand.pins > 0 && (!kept || !(*kept == hand)) && button(scene, "keep-package", kept ? "Keep it as changed" : "Keep it for every board")) keep(scene, hand);
  if (own.empty()) return;
  if (button(scene, "own-packages", "The shop's own (" + std::to_string(own.size()) + ")")) form.own_open = !form.own_open;
  if (!form.own_open) return;
  for (std::size_t i = 0; i < own.size() && i < 50; ++i) {
    if (button(scene, ("own-package-" + std::to_string(i)).c_str(), own[i].name)) {
      state.last_package = own[i];
      form.name = own[i].name, form.pins.clear(), form.pitch.clear(), form.body.clear(), form.own_open = false;
      state.gesture.picked.clear();
    }
    ImGui::SameLine();
    if (symbol_button(scene, ("own-package-away-" + std::to_string(i)).c_str(), symbol::cross, "Take it out of the shop's own; parts that have it keep it"))
      scene.intents.push(intent::Work{"drop the package", [name = own[i].name](Folder& folder) -> Result<std::string> {
        const Result<Shop> left = change_shop(shop_file_beside(folder.board_dir()), [&](Shop& shop) { return drop_package(shop, name); });
        if (!left) return left.problem();
        return "No longer kept: " + name;
      }});
  }
}

}  // namespace

void draw_package_form(const Scene& scene, BenchState& state, PackageForm& form) {
  const float third = (ImGui::GetContentRegionAvail().x - 2 * scene.theme.grid(2)) / 3;
  heading(scene, "Package to place");
  bool done = captioned_field(scene, "package-name", "Package", "SOIC-8, QFP, 0603, BGA", form.name);
  done |= captioned_field(scene, "package-pins", "Pins", "48", form.pins, third);
  ImGui::SameLine();
  done |= captioned_field(scene, "package-pitch", "Pitch, mm", "0.5", form.pitch, third);
  ImGui::SameLine();
  done |= captioned_field(scene, "package-body", "Body, mm", "7x7", form.body, third);
  if (done) take(scene, state, form);
  ImGui::PushTextWrapPos(0);
  if (const Package& p = state.last_package; p.pins > 0) {
    char size[96];
    std::snprintf(size, sizeof size, ": %d pins, pitch %.3g mm", p.pins, p.pitch_mm);
    quiet(scene, p.name + size + (p.source.empty() ? "" : "; " + p.source));
    if (const auto pads = pads_to_click(p)) text(scene, scene.fonts.small, scene.theme.text, "Click the middle of pad " + (*pads)[0] + ", then of pad " + (*pads)[1] + ".");
  } else {
    quiet(scene, "Name the package, then click two pads far apart.");
  }
  ImGui::PopTextWrapPos();
  draw_own(scene, state, form);
  separator(scene);
}

}  // namespace boardlore
