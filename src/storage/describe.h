// The members of each JSON object, once: name, field, order.
//
// Reading, writing and the format README follow one list, so they can't drift apart. A visitor is called
// with each member's name and the field it lives in; fields at their default are not written. The order
// here is the order in the file (promise F-2 of boards/README.md).
#pragma once

#include "domain/job.h"
#include "domain/shop.h"

namespace boardlore::storage {

// "v.required(name, field)": refused when absent. "v(name, field)": absent means the default.
// "v.unit(quantity)": the UCUM code that must agree with the quantity.

template <class T, class V>
concept Same = std::same_as<std::remove_const_t<T>, V>;

template <class Visitor, Same<Fiducial> T>
void describe(Visitor& v, T& f) {
  v.required("photo_px", f.photo);
  v.required("board_mm", f.board);
  v("name", f.name);
}

template <class Visitor, Same<LensTerm> T>
void describe(Visitor& v, T& lens) {
  v.required("k1", lens.k1);
  v.required("centre_x_px", lens.centre_x_px);
  v.required("centre_y_px", lens.centre_y_px);
  v.required("half_diagonal_px", lens.half_diagonal_px);
}

template <class Visitor, Same<Registration> T>
void describe(Visitor& v, T& r) {
  v.required("model", r.model);
  v.required("method", r.method);
  v.required("board_from_photo", r.board_from_photo.rows);
  v("lens", r.lens);
  v("mirrored", r.mirrored);
  v("rms_mm", r.rms_mm);
  v("leave_one_out_mm", r.leave_one_out_mm);
  v("px_per_mm", r.px_per_mm);
  v("onto", r.onto);
  v("confidence", r.confidence);
  v("fiducials", r.fiducials);
}

template <class Visitor, Same<Photo> T>
void describe(Visitor& v, T& p) {
  v.required("id", p.id);
  v.required("file", p.file);
  v("sha256", p.sha256);
  v.required("side", p.side);
  v("stage", p.stage);
  v("captured_at", p.captured_at);
  v("captured_offset", p.captured_offset);
  v("added_at", p.added_at);
  v("width_px", p.width_px);
  v("height_px", p.height_px);
  v("note", p.note);
  v("linked", p.linked);
  v("crop_px", p.crop_px);
  v("turn_deg", p.turn_deg);
  v("registration", p.registration);
}

template <class Visitor, Same<Package> T>
void describe(Visitor& v, T& p) {
  v.required("family", p.family);
  v("name", p.name);
  v("pins", p.pins);
  v("rows", p.rows);
  v("columns", p.columns);
  v("pitch_mm", p.pitch_mm);
  v("span_mm", p.span_mm);
  v("span_y_mm", p.span_y_mm);
  v("body_length_mm", p.body_length_mm);
  v("body_width_mm", p.body_width_mm);
  v("row_count", p.row_count);
  v("pin1_mid_side", p.pin1_mid_side);
  v("missing", p.missing);
  v("source", p.source);
}

template <class Visitor, Same<Conditions> T>
void describe(Visitor& v, T& c) {
  v("power", c.power);
  v("red_lead", c.red_lead);
  v("black_lead", c.black_lead);
  v("instrument", c.instrument);
  v("ambient", c.ambient);
}

template <class Visitor, Same<Reading> T>
void describe(Visitor& v, T& r) {
  v.required("id", r.id);
  v.required("mark", r.mark);
  v("refdes", r.refdes);
  v("pin", r.pin);
  v.required("quantity", r.quantity);
  v("qualifier", r.qualifier);
  v.required("value", r.value);
  v.unit(r.quantity);
  v("typed", r.typed);
  v("said", r.said);
  v("conditions", r.conditions);
  v.required("taken_at", r.taken_at);
  v("by", r.by);
  v("words", r.words);
}

template <class Visitor, Same<Limit> T>
void describe(Visitor& v, T& l) {
  v.required("id", l.id);
  v.required("quantity", l.quantity);
  v("pin", l.pin);
  v("power", l.power);
  v("low", l.low);
  v("high", l.high);
  v.unit(l.quantity);
  v("source", l.source);
}

template <class Visitor, Same<Sample> T>
void describe(Visitor& v, T& s) {
  v.required("id", s.id);
  v.required("quantity", s.quantity);
  v("pin", s.pin);
  v("qualifier", s.qualifier);
  v.required("value", s.value);
  v.unit(s.quantity);
  v("power", s.power);
  v.required("taken_at", s.taken_at);
}

template <class Visitor, Same<View> T>
void describe(Visitor& v, T& view) {
  v.required("side", view.side);
  v("turn_deg", view.turn_deg);
  v.required("zoom", view.zoom);
  v.required("centre_mm", view.centre);
}

template <class Visitor, Same<Note> T>
void describe(Visitor& v, T& n) {
  v.required("id", n.id);
  v.required("text", n.text);
  v("pin", n.pin);
  v("view", n.view);
  v("by", n.by);
  v.required("at", n.at);
  v("internal", n.internal);
}

template <class Visitor, Same<Orientation> T>
void describe(Visitor& v, T& o) {
  v("on_part", o.on_part);
  v("on_board", o.on_board);
}

template <class Visitor, Same<WantedReading> T>
void describe(Visitor& v, T& w) {
  v("pin", w.pin);
  v.required("quantity", w.quantity);
}

template <class Visitor, Same<Mark> T>
void describe(Visitor& v, T& m) {
  v.required("id", m.id);
  v.required("kind", m.kind);
  v.required("side", m.side);
  v.required("at_mm", m.at);
  v("rotation_deg", m.rotation_deg);
  v("refdes", m.refdes);
  v("text", m.text);
  v("outline_mm", m.outline);
  v("radius_mm", m.radius_mm);
  v("pin1_mm", m.pin1);
  v("package", m.package);
  v("orientation", m.orientation);
  v("polarity", m.polarity);
  v("place_error_mm", m.place_error_mm);
  v("reason", m.reason);
  v("max_temperature_cel", m.max_temperature_c);
  v("height_mm", m.height_mm);
  v("advice", m.advice);
  v("value", m.value);
  v("accept", m.accept);
  v("refuse", m.refuse);
  v("moisture_level", m.moisture_level);
  v("package_class_cel", m.package_class_c);
  v("wanted", m.wanted);
  v("nets", m.nets);
  v("limits", m.limits);
  v("samples", m.samples);
  v("notes", m.notes);
  v("changed_at", m.changed_at);
}

template <class Visitor, Same<Board> T>
void describe(Visitor& v, T& b) {
  v("maker", b.maker);
  v.required("model", b.model);
  v("revision", b.revision);
  v("width_mm", b.width_mm);
  v("height_mm", b.height_mm);
  v("outline_mm", b.outline);
}

template <class Visitor, Same<LayerSettings> T>
void describe(Visitor& v, T& s) {
  v("short_below_ohm", s.short_below_ohm);
  v("open_above_ohm", s.open_above_ohm);
  v("charging_above_ohm", s.charging_above_ohm);
  v("symptoms", s.symptoms);
}

template <class Visitor, Same<FaultCount> T>
void describe(Visitor& v, T& f) {
  v.required("id", f.id);
  v("counted_by", f.counted_by);
  v("symptom", f.symptom);
  v("refdes", f.refdes);
  v("cure", f.cure);
  v("cured", f.cured);
  v("last_month", f.last_month);
}

template <class Visitor, Same<SymptomCount> T>
void describe(Visitor& v, T& s) {
  v("id", s.id);
  v("counted_by", s.counted_by);
  v.required("symptom", s.symptom);
  v("jobs", s.jobs);
}

template <class Visitor, Same<Dispute> T>
void describe(Visitor& v, T& d) {
  v.required("id", d.id);
  v("mark", d.mark);
  v.required("member", d.member);
  v("one", d.one);
  v("other", d.other);
}

template <class Visitor, Same<Layer> T>
void describe(Visitor& v, T& l) {
  v.header("boardlore-layer", l.version_minor);
  v.required("id", l.id);
  v.required("board", l.board);
  v("settings", l.settings);
  v("photos", l.photos);
  v("faults", l.faults);
  v("symptoms", l.symptoms);
  v("disputes", l.disputes);
  v("marks", l.marks);
}

template <class Visitor, Same<Step> T>
void describe(Visitor& v, T& s) {
  v.required("name", s.name);
  v("done_at", s.done_at);
  v("photo", s.photo);
}

template <class Visitor, Same<Process> T>
void describe(Visitor& v, T& p) {
  v("iron_cel", p.iron_c);
  v("air_cel", p.air_c);
  v("preheat_cel", p.preheat_c);
  v("air_setting", p.air_setting);
  v("nozzle_mm", p.nozzle_mm);
  v("alloy", p.alloy);
  v("flux", p.flux);
  v("time_s", p.time_s);
}

template <class Visitor, Same<Action> T>
void describe(Visitor& v, T& a) {
  v.required("id", a.id);
  v.required("mark", a.mark);
  v("refdes", a.refdes);
  v("pin", a.pin);
  v.required("what", a.what);
  v("words", a.words);
  v("process", a.process);
  v("steps", a.steps);
  v("fitted_marking", a.fitted_marking);
  v("fitted_lot", a.fitted_lot);
  v("fitted_source", a.fitted_source);
  v("fitted_price", a.fitted_price);
  v("bag_opened_at", a.bag_opened_at);
  v.required("at", a.at);
  v("by", a.by);
}

template <class Visitor, Same<Acknowledgement> T>
void describe(Visitor& v, T& a) {
  v.required("id", a.id);
  v.required("mark", a.mark);
  v.required("point", a.point);
  v("reason", a.reason);
  v("by", a.by);
  v.required("at", a.at);
}

template <class Visitor, Same<SpareCheck> T>
void describe(Visitor& v, T& s) {
  v.required("id", s.id);
  v.required("mark", s.mark);
  v.required("marking_seen", s.marking_seen);
  v("verdict", s.verdict);
  v.required("at", s.at);
}

template <class Visitor, Same<ComparedPart> T>
void describe(Visitor& v, T& c) {
  v.required("mark", c.mark);
  v("refdes", c.refdes);
  v.required("verdict", c.verdict);
  v("turn_deg", c.turn_deg);
  v("shift_mm", c.shift_mm);
  v("confidence", c.confidence);
  v("words", c.words);
}

template <class Visitor, Same<KeptComparison> T>
void describe(Visitor& v, T& c) {
  v.required("id", c.id);
  v.required("before", c.before);
  v.required("after", c.after);
  v.required("made_at", c.made_at);
  v("by", c.by);
  v("parts", c.parts);
}

template <class Visitor, Same<Check> T>
void describe(Visitor& v, T& c) {
  v.required("text", c.text);
  v("ticked_at", c.ticked_at);
}

template <class Visitor, Same<Addendum> T>
void describe(Visitor& v, T& a) {
  v.required("id", a.id);
  v.required("text", a.text);
  v("by", a.by);
  v.required("at", a.at);
}

template <class Visitor, Same<HandBack> T>
void describe(Visitor& v, T& h) {
  v.required("outcome", h.outcome);
  v("warranty_months", h.warranty_months);
  v("warranty_until", h.warranty_until);
  v("reason", h.reason);
  v("by", h.by);
  v.required("at", h.at);
}

template <class Visitor, Same<Unit> T>
void describe(Visitor& v, T& u) {
  v("serial", u.serial);
  v("owner", u.owner);
  v("condition", u.condition);
}

template <class Visitor, Same<BoardLink> T>
void describe(Visitor& v, T& b) {
  v.required("layer", b.layer);
  v("folder", b.folder);
  v("maker", b.maker);
  v("model", b.model);
  v("revision", b.revision);
}

// What a job file holds of the marks: those it added or changed, as they were before, and those it took
// out. The rest stays in the board's own folder.
struct MarkChanges {
  std::vector<Mark> marks, marks_before, removed_marks;
  bool operator==(const MarkChanges&) const = default;
};

struct JobFile {
  Job job;
  MarkChanges changes;
};

template <class Visitor, Same<JobFile> T>
void describe(Visitor& v, T& f) {
  auto& j = f.job;
  v.header("boardlore-job", j.version_minor);
  v.required("id", j.id);
  v.required("board", j.board);
  v("unit", j.unit);
  v("reported", j.reported);
  v("symptom", j.symptom);
  v("technician", j.technician);
  v.required("opened_at", j.opened_at);
  v("defaults", j.defaults);
  v("photos", j.photos);
  v("readings", j.readings);
  v("actions", j.actions);
  v("notes", j.notes);
  v("acknowledgements", j.acknowledgements);
  v("spares", j.spares);
  v("comparisons", j.comparisons);
  v("checks", j.checks);
  v("hand_back", j.hand_back);
  v("earlier_hand_backs", j.earlier_hand_backs);
  v("addenda", j.addenda);
  v("disputes", j.disputes);
  v("marks", f.changes.marks);
  v("marks_before", f.changes.marks_before);
  v("removed_marks", f.changes.removed_marks);
}

template <class Visitor, Same<StepList> T>
void describe(Visitor& v, T& l) {
  v.required("key", l.key);
  v("title", l.title);
  v.required("steps", l.steps);
}

template <class Visitor, Same<Shop> T>
void describe(Visitor& v, T& s) {
  v.header("boardlore-shop", s.version_minor);
  v("counts_as", s.counts_as);
  v("packages", s.packages);
  v("step_lists", s.step_lists);
}

}  // namespace boardlore::storage
