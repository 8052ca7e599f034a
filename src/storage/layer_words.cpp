#include "storage/layer_words.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "editing/mark_rules.h"
#include "storage/names.h"

namespace boardlore {
namespace {

std::string number(double value, const char* format = "%.10g") {
  char text[40];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

std::string in_quotes(const std::string& text) { return text.empty() ? "nothing" : text; }

std::string place(const BoardPoint& p) { return number(p.x_mm, "%.2f") + ", " + number(p.y_mm, "%.2f") + " mm"; }

std::string listed(const std::vector<std::string>& list) {
  std::string text;
  for (const std::string& one : list) text += (text.empty() ? "" : ", ") + one;
  return in_quotes(text);
}

std::string range(const Limit& limit) {
  return (limit.low ? number(*limit.low) : std::string("-")) + " to " + (limit.high ? number(*limit.high) : std::string("-")) + " " +
         std::string(ucum_code(limit.quantity)) + (limit.pin.empty() ? "" : " on pin " + limit.pin);
}

// No low (high) end is the widest.
std::string how_limit_changed(const Limit& old, const Limit& now) {
  const double inf = HUGE_VAL;
  const double old_low = old.low.value_or(-inf), low = now.low.value_or(-inf), old_high = old.high.value_or(inf), high = now.high.value_or(inf);
  const char* how = low <= old_low && high >= old_high ? "widened" : low >= old_low && high <= old_high ? "narrowed" : "changed";
  return std::string("limit ") + how + ": " + range(old) + " -> " + range(now);
}

template <class Items, class Changed>
void compare_items(const Items& old, const Items& now, const char* what, std::vector<std::string>& lines, Changed changed) {
  const auto find = [](const Items& items, const Id& id) {
    return std::find_if(items.begin(), items.end(), [&](const auto& item) { return item.id == id; });
  };
  for (const auto& item : now) {
    const auto before = find(old, item.id);
    if (before == old.end()) lines.push_back(std::string(what) + " added");
    else if (*before != item) lines.push_back(changed(*before, item));
  }
  for (const auto& item : old)
    if (find(now, item.id) == now.end()) lines.push_back(std::string(what) + " taken out");
}

// What changed on one mark, without its name.
std::vector<std::string> mark_lines(const Mark& old, const Mark& now) {
  std::vector<std::string> lines;
  const auto text = [&](const char* what, const std::string& before, const std::string& after) {
    if (before != after) lines.push_back(std::string(what) + ": " + in_quotes(before) + " -> " + in_quotes(after));
  };
  const auto value = [&](const char* what, std::optional<double> before, std::optional<double> after) {
    if (before != after) text(what, before ? number(*before) : "", after ? number(*after) : "");
  };
  const auto flag = [&](const char* what, bool changed) {
    if (changed) lines.emplace_back(what);
  };
  text("designator", old.refdes, now.refdes);
  if (old.at != now.at) {
    const double moved_mm = distance_mm(old.at, now.at);
    lines.push_back("moved " + number(moved_mm, moved_mm < 0.095 ? "%.3f" : "%.1f") + " mm");
  }
  if (old.rotation_deg != now.rotation_deg) lines.push_back("turned " + number(old.rotation_deg) + " -> " + number(now.rotation_deg) + " deg");
  text("side", std::string(storage::name_of(old.side)), std::string(storage::name_of(now.side)));
  text("kind", std::string(storage::name_of(old.kind)), std::string(storage::name_of(now.kind)));
  if (old.pin1 != now.pin1) lines.emplace_back(!now.pin1 ? "pin 1 taken away" : old.pin1 ? "pin 1 moved" : "pin 1 set");
  if (old.package != now.package) text("package", old.package ? old.package->name : "", now.package ? now.package->name : "");
  flag("package changed", old.package != now.package && old.package && now.package && old.package->name == now.package->name);
  flag("outline changed", old.outline != now.outline || old.radius_mm != now.radius_mm);
  text("text", old.text, now.text);
  text("value", old.value, now.value);
  text("polarity", old.polarity, now.polarity);
  text("shown on the part", old.orientation.on_part, now.orientation.on_part);
  text("shown on the board", old.orientation.on_board, now.orientation.on_board);
  text("keep-out reason", old.reason, now.reason);
  text("advice", old.advice, now.advice);
  value("highest temperature", old.max_temperature_c, now.max_temperature_c);
  value("height", old.height_mm, now.height_mm);
  value("body temperature class", old.package_class_c, now.package_class_c);
  text("moisture level", old.moisture_level, now.moisture_level);
  if (old.accept != now.accept) text("spares that fit", listed(old.accept), listed(now.accept));
  if (old.refuse != now.refuse) text("look-alikes", listed(old.refuse), listed(now.refuse));
  flag("readings wanted before lifting changed", old.wanted != now.wanted);
  flag("nets changed", old.nets != now.nets);
  compare_items(old.limits, now.limits, "limit", lines, how_limit_changed);
  compare_items(old.samples, now.samples, "sample", lines, [](const Sample&, const Sample&) { return "sample changed"; });
  compare_items(old.notes, now.notes, "note", lines, [](const Note&, const Note& note) { return "note: " + note.text; });
  flag("members this version does not know changed", old.unknown != now.unknown);
  return lines;
}

std::string named(const Mark& mark) { return spoken_name(mark); }

}  // namespace

std::vector<std::string> spoken_differences(const Layer& before, const Layer& after) {
  std::vector<std::string> head;
  const auto text = [&](const char* what, const std::string& old, const std::string& now) {
    if (old != now) head.push_back(std::string("board: ") + what + " " + in_quotes(old) + " -> " + in_quotes(now));
  };
  text("maker", before.board.maker, after.board.maker);
  text("model", before.board.model, after.board.model);
  text("revision", before.board.revision, after.board.revision);
  if (before.board.width_mm != after.board.width_mm || before.board.height_mm != after.board.height_mm ||
      before.board.outline != after.board.outline)
    head.emplace_back("board: size or outline changed");
  if (before.settings != after.settings) head.emplace_back("settings changed");
  compare_items(before.photos, after.photos, "photo", head, [](const Photo& old, const Photo& now) {
    return "photo " + now.file + (old.registration != now.registration ? ": registered anew" : " changed");
  });
  compare_items(before.faults, after.faults, "fault count", head, [](const FaultCount&, const FaultCount& f) { return "fault count of " + f.refdes; });
  if (before.disputes.size() != after.disputes.size())
    head.push_back("disputes: " + std::to_string(before.disputes.size()) + " -> " + std::to_string(after.disputes.size()));

  std::vector<std::pair<std::string, std::string>> marks;  // name, line
  MarkTable::differences(before.marks, after.marks, [&](const MarkPtr& old, const MarkPtr& now) {
    if (!old) marks.emplace_back(named(*now), named(*now) + " placed at " + place(now->at) + ", " + std::string(storage::name_of(now->side)));
    else if (!now) marks.emplace_back(named(*old), named(*old) + " taken out");
    else
      for (const std::string& line : mark_lines(*old, *now)) {
        const bool verb = line.starts_with("moved ") || line.starts_with("turned ");
        marks.emplace_back(named(*old), named(*old) + (verb ? " " : ": ") + line);
      }
  });
  std::stable_sort(marks.begin(), marks.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  for (auto& [name, line] : marks) head.push_back(std::move(line));
  return head;
}

std::vector<std::string> spoken_layer(const Layer& layer) {
  Layer nothing;
  nothing.id = layer.id;
  std::vector<std::string> lines = spoken_differences(nothing, [&] {
    Layer head = layer;
    head.marks = MarkTable{};
    return head;
  }());
  std::vector<MarkPtr> marks = layer.marks.all();
  std::stable_sort(marks.begin(), marks.end(), [](const MarkPtr& a, const MarkPtr& b) { return a->refdes < b->refdes; });
  for (const MarkPtr& mark : marks) {
    lines.push_back(named(*mark) + " (" + std::string(storage::name_of(mark->kind)) + ") at " + place(mark->at) + ", " +
                    std::string(storage::name_of(mark->side)));
    Mark bare;
    bare.id = mark->id;
    bare.kind = mark->kind;
    bare.side = mark->side;
    bare.at = mark->at;
    bare.refdes = mark->refdes;
    for (const std::string& line : mark_lines(bare, *mark)) lines.push_back(named(*mark) + ": " + line);
  }
  // Nothing was there before: only what is there now is said.
  const std::string from_nothing = "nothing -> ";
  for (std::string& line : lines)
    if (const auto at = line.find(from_nothing); at != std::string::npos) line.erase(at, from_nothing.size());
  return lines;
}

}  // namespace boardlore
