// The card of the chosen mark: what it is, which way round, what it should read, what was done. With
// nothing chosen it is the sheet of the stage: the job's or the board's own particulars.
#pragma once

#include "bench/part_sheet.h"
#include "bench/part_values.h"
#include "bench/hand_back_sheet.h"
#include "bench/before_lift_view.h"
#include "bench/package_form.h"
#include "bench/scene.h"
#include "bench/step_rows.h"
#include "judging/limit_plot.h"

namespace boardlore {

// One measured point of the mark: its readings, the newest first, and what they are found to be.
struct CardPoint {
  std::string place;    // "pin 7  diode", "resistance"
  std::string value;    // of the last reading; empty: not read yet
  std::string when;     // "10:20"
  std::string verdict;  // "low", "within limits"
  std::string reason;
  bool out = false, within = false;
  LimitPlot plot;
};

// What the fields hold while they are being typed in; taken from the document whenever that changes.
struct CardState {
  MarkPtr mark;
  std::string refdes, value, words, accept, refuse, note, limit_low, limit_high, advice, temperature;
  PartValues values;
  // Judged once a document state, not once a frame.
  std::shared_ptr<const Job> judged_job;
  std::shared_ptr<const Layer> judged_layer;
  Id judged_mark;
  std::vector<CardPoint> points;
  BeforeLiftCheck before_lift;
  PackageForm package;
  StepForm steps;
  PartSheet sheet;
  std::shared_ptr<const Job> job;
  std::string serial, owner, condition, reported, symptom;
  Conditions conditions;  // the job's own, for readings that say none
  std::shared_ptr<const Layer> layer;
  std::string maker, model, revision, width, height, short_below, open_above, charging_above;
  HandBackSheet hand_back;
};

std::vector<CardPoint> card_points(const Layer& layer, const Job& job, const Mark& mark, Timestamp now);
// "A, B ,, C" -> A B C
std::vector<std::string> list_from_words(const std::string& words);
std::string words_from_list(const std::vector<std::string>& list);

void draw_card(const Scene& scene, BenchState& state, CardState& card);

}  // namespace boardlore
