#include "editing/entry_edits.h"

#include <algorithm>
#include <cmath>

namespace boardlore {

EntryContext entry_context(const Snapshot& snapshot) {
  return {snapshot.layer.get(), snapshot.job ? snapshot.job->defaults : Conditions{}};
}

std::vector<Reading> readings_of(const EntryLine& line, const EntryStamp& stamp) {
  std::vector<Reading> readings;
  for (std::size_t i = 0; i < line.values.size(); ++i) {
    const EntryValue& value = line.values[i];
    Reading reading;
    reading.id = stamp.new_id();
    reading.mark = line.mark;
    reading.refdes = line.refdes;
    reading.pin = line.pin;
    reading.quantity = line.quantity;
    reading.qualifier = value.qualifier;
    reading.value = value.qualifier == Qualifier::overload ? 0 : value.number.value;
    reading.typed = value.typed;
    reading.said = line.said;
    reading.conditions = line.conditions;
    const double before_last_s = line.every_s * static_cast<double>(line.values.size() - 1 - i);
    reading.taken_at.ms = stamp.now.ms - std::llround(before_last_s * 1000);
    reading.by = stamp.by;
    reading.words = line.words;
    readings.push_back(std::move(reading));
  }
  return readings;
}

std::vector<Edit> edits_of(const Snapshot& snapshot, const EntryLine& line, const EntryStamp& stamp) {
  switch (line.kind) {
    case EntryLine::Kind::readings: return {AddReadings{readings_of(line, stamp)}};
    case EntryLine::Kind::action: {
      Action action;
      action.id = stamp.new_id();
      action.mark = line.mark;
      action.refdes = line.refdes;
      action.pin = line.pin;
      action.what = line.what;
      action.words = line.words;
      action.at = stamp.now;
      action.by = stamp.by;
      return {PutAction{std::move(action)}};
    }
    case EntryLine::Kind::note:
    case EntryLine::Kind::job_note: break;
  }
  Note note;
  note.id = stamp.new_id();
  note.text = line.words;
  note.pin = line.pin;
  note.by = stamp.by;
  note.at = stamp.now;
  const MarkPtr mark = line.kind == EntryLine::Kind::note ? snapshot.layer->marks.find(line.mark) : nullptr;
  if (!mark) return {AddJobNote{std::move(note)}};
  Mark changed = *mark;
  changed.notes.push_back(std::move(note));
  changed.changed_at = stamp.now;
  return {ChangeMark{std::move(changed), "note on " + line.refdes}};
}

std::optional<Judgement> judge_entry(const Snapshot& snapshot, const EntryLine& line, Timestamp now) {
  if (line.kind != EntryLine::Kind::readings) return std::nullopt;
  const std::vector<Reading> fresh = readings_of(line, {[] { return Id{}; }, now, ""});
  const PointKey point = point_of(fresh.back());
  std::vector<Reading> series;
  std::vector<Timestamp> reworks;
  if (snapshot.job) {
    for (const Reading& reading : snapshot.job->readings)
      if (reading.mark == point.mark && reading.pin == point.pin && reading.quantity == point.quantity && reading.conditions.power == point.power)
        series.push_back(reading);
    for (const Action& action : snapshot.job->actions)
      if (action.mark == point.mark && is_rework(action.what)) reworks.push_back(action.at);
  }
  series.insert(series.end(), fresh.begin(), fresh.end());
  std::stable_sort(series.begin(), series.end(), [](const Reading& a, const Reading& b) { return a.taken_at < b.taken_at; });
  std::sort(reworks.begin(), reworks.end());
  const MarkPtr mark = snapshot.layer->marks.find(point.mark);
  return judge_point(mark.get(), snapshot.layer->settings, point, series, reworks, now);
}

EntryPreview preview_entry(const Snapshot& snapshot, std::string_view text, Timestamp now) {
  EntryPreview preview;
  const ParsedEntry parsed = parse_entry_line(text, entry_context(snapshot));
  if (const auto* fault = std::get_if<EntryFault>(&parsed)) {
    preview.fault_column = fault->column;
    preview.message = fault->message;
    preview.accepted = fault->accepted;
  } else if (const auto* question = std::get_if<EntryQuestion>(&parsed)) {
    preview.fault_column = question->column;
    preview.message = question->question;
    preview.choices = question->choices;
    for (const EntryChoice& choice : preview.choices) preview.accepted += (preview.accepted.empty() ? "" : ", or ") + choice.line;
  } else {
    const EntryLine& line = std::get<EntryLine>(parsed);
    preview.complete = true;
    preview.understood = understood(line);
    preview.cautions = line.cautions;
    if (const auto judgement = judge_entry(snapshot, line, now)) {
      preview.verdict = judgement->verdict;
      preview.verdict_text = std::string(verdict_words(judgement->verdict)) + ": " + judgement->reason;
      preview.remarks = judgement->remarks;
      if (!judgement->before_after.empty()) preview.remarks.push_back(judgement->before_after);
    }
  }
  return preview;
}

}  // namespace boardlore
