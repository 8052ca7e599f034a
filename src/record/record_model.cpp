#include "record/record_model.h"

#include <algorithm>
#include <cstdio>
#include <set>

#include "editing/mark_rules.h"
#include "judging/compared_parts.h"
#include "judging/photo_order.h"
#include "record/cautions.h"
#include "record/record_words.h"
#include "record/warranty.h"

namespace boardlore {
namespace {

class Maker {
 public:
  explicit Maker(const RecordInput& input)
      : input_(input), job_(*input.snapshot.job), layer_(*input.snapshot.layer), shop_(input.audience == Audience::shop) {}

  Record make() {
    photos_ = in_order();
    record_.title = "Repair record: " + board_name();
    record_.subject = job_.reported;
    record_.author = responsible();
    record_.dated = dated();
    add_unit();
    add_intake();
    add_findings();
    for (const Id& mark : worked_on()) add_mark(mark);
    add_compared_parts();
    add_checks();
    add_overrides();
    add_cautions();
    add_warranty();
    if (shop_) add_internal();
    add_later();
    add_photo_roll();
    add_photo_list();
    number_pictures();
    note_mentioned();
    return std::move(record_);
  }

 private:
  std::string board_name() const {
    const BoardLink& link = job_.board;
    const Board& board = layer_.board;
    std::string name;
    for (const std::string& word : {link.maker.empty() ? board.maker : link.maker,
                                    link.model.empty() ? board.model : link.model,
                                    link.revision.empty() ? board.revision : link.revision})
      if (!word.empty()) name += (name.empty() ? "" : " ") + word;
    return name.empty() ? "board" : name;
  }

  std::string responsible() const {
    return job_.hand_back && !job_.hand_back->by.empty() ? job_.hand_back->by : job_.technician;
  }

  // A record is as old as what it says, so that making it again gives the same bytes.
  Timestamp dated() const {
    if (job_.hand_back && job_.addenda.empty()) return job_.hand_back->at;
    Timestamp newest = job_.opened_at;
    const auto look = [&](Timestamp at) { newest = std::max(newest, at); };
    for (const Reading& reading : job_.readings) look(reading.taken_at);
    for (const Action& action : job_.actions) look(action.at);
    for (const Addendum& addendum : job_.addenda) look(addendum.at);
    if (job_.hand_back) look(job_.hand_back->at);
    return newest;
  }

  // "by" of the shop's version only.
  std::string by(const std::string& name) const { return shop_ ? name : std::string{}; }

  std::vector<const Photo*> in_order() const {
    std::vector<const Photo*> photos;
    for (const Photo& photo : job_.photos) photos.push_back(&photo);
    std::stable_sort(photos.begin(), photos.end(), [](const Photo* a, const Photo* b) { return taken_before(*a, *b); });
    return photos;
  }

  Section& section(std::string title, int level = 1, Id mark = {}) {
    record_.sections.push_back({std::move(title), level, std::move(mark), {}});
    return record_.sections.back();
  }

  void add_unit() {
    Section& out = section("The unit");
    FactList facts;
    const auto fact = [&](std::string name, std::string value) {
      if (!value.empty()) facts.facts.push_back({std::move(name), std::move(value)});
    };
    fact("Board", board_name());
    fact("Serial number", job_.unit.serial);
    fact("Owner", job_.unit.owner);
    fact("Reported", job_.reported);
    if (shop_) fact("Symptom", job_.symptom);
    fact("Taken in", spoken_time(job_.opened_at));
    fact("Technician", responsible());
    if (job_.hand_back) {
      fact("Handed back", spoken_time(job_.hand_back->at));
      fact("Outcome", spoken_outcome(job_.hand_back->outcome));
      if (!job_.hand_back->warranty_until.empty() && job_.hand_back->warranty_months > 0)
        fact("Warranty until", job_.hand_back->warranty_until);
      if (shop_) fact("Closed over open points because", job_.hand_back->reason);
    } else {
      fact("State", "Open: not handed back yet");
    }
    if (shop_) fact("Job", job_.id.text);
    out.blocks.push_back(std::move(facts));
  }

  void add_intake() {
    PictureRow row;
    for (const Photo* photo : photos_)
      if (photo->stage == PhotoStage::intake) row.pictures.push_back(plain(*photo));
    if (job_.unit.condition.empty() && row.pictures.empty()) return;
    Section& out = section("Condition at intake");
    if (!job_.unit.condition.empty()) out.blocks.push_back(Paragraph{job_.unit.condition, TextKind::plain});
    if (!row.pictures.empty()) out.blocks.push_back(std::move(row));
  }

  TableRow reading_row(const Reading& reading) const {
    const auto verdict = input_.verdicts.find(reading.id);
    const ReadingVerdict none;
    const ReadingVerdict& judged = verdict == input_.verdicts.end() ? none : verdict->second;
    TableRow row;
    row.mark = reading.mark;
    row.fault = judged.fault;
    row.cells = {spoken_place(reading.refdes, reading.pin), spoken_reading(reading), spoken_conditions(reading),
                 judged.limit, judged.verdict, spoken_time(reading.taken_at)};
    if (shop_) row.cells.push_back(reading.by), row.cells.push_back(reading.words);
    return row;
  }

  std::vector<std::string> reading_headers() const {
    std::vector<std::string> headers{"Where", "Reading", "How", "Should be", "Verdict", "When"};
    if (shop_) headers.insert(headers.end(), {"By", "Words"});
    return headers;
  }

  void add_findings() {
    if (job_.readings.empty()) return;
    Section& out = section("What was found");
    Table table{"Readings in the order they were taken", reading_headers(), {}};
    std::vector<const Reading*> readings;
    for (const Reading& reading : job_.readings) readings.push_back(&reading);
    std::stable_sort(readings.begin(), readings.end(),
                     [](const Reading* a, const Reading* b) { return a->taken_at < b->taken_at; });
    for (const Reading* reading : readings) table.rows.push_back(reading_row(*reading));
    out.blocks.push_back(std::move(table));
  }

  // Marks with actions in the order of their first one; for the shop also those with a spare check.
  std::vector<Id> worked_on() const {
    std::vector<Id> order;
    const auto note = [&](const Id& mark) {
      if (std::find(order.begin(), order.end(), mark) == order.end()) order.push_back(mark);
    };
    for (const Action& action : actions_in_order()) note(action.mark);
    for (const SpareCheck& check : job_.spares) note(check.mark);
    return order;
  }

  std::vector<Action> actions_in_order() const {
    std::vector<Action> actions = job_.actions;
    std::stable_sort(actions.begin(), actions.end(), [](const Action& a, const Action& b) { return a.at < b.at; });
    return actions;
  }

  std::string mark_name(const Id& id) const {
    if (const MarkPtr mark = layer_.marks.find(id)) return spoken_name(*mark);
    for (const Action& action : job_.actions)
      if (action.mark == id && !action.refdes.empty()) return action.refdes;
    return "a mark that was removed";
  }

  void add_mark(const Id& id) {
    const MarkPtr mark = layer_.marks.find(id);
    std::string title = mark_name(id);
    if (mark && !mark->value.empty()) title += " (" + mark->value + ")";
    Section& out = section("Work on " + title, 1, id);
    if (mark) add_place(out, *mark);
    add_work(out, id);
    add_readings_around_work(out, id);
    if (mark) add_before_after(out, *mark);
    add_linked_photos(out, id);
    for (const Note& note : mark ? mark->notes : std::vector<Note>{})
      if (shop_ || !note.internal)
        out.blocks.push_back(Paragraph{"Note" + (shop_ && !note.by.empty() ? " (" + note.by + ")" : "") + ": " + note.text,
                                       TextKind::quote});
  }

  // The best photo of a side at a stage: registered; the last taken for "after", else the first.
  const Photo* photo_of(Side side, std::optional<PhotoStage> stage, const Id& linked) const {
    const Photo* best = nullptr;
    bool best_linked = false;
    for (const Photo* photo : photos_) {
      if (photo->side != side || !photo->registration || (stage && photo->stage != stage)) continue;
      const bool is_linked = std::find(photo->linked.begin(), photo->linked.end(), linked) != photo->linked.end();
      const bool later_wins = stage == PhotoStage::after;
      if (!best || (is_linked && !best_linked) || (is_linked == best_linked && later_wins)) best = photo, best_linked = is_linked;
    }
    return best;
  }

  // How far around a mark is shown: three times the part, at least 6 mm each way.
  static double reach_of(const Mark& mark) {
    double extent_mm = mark.radius_mm.value_or(0);
    for (const Offset& point : mark.outline) extent_mm = std::max({extent_mm, std::abs(point.x_mm), std::abs(point.y_mm)});
    if (mark.package)
      extent_mm = std::max({extent_mm, mark.package->body_length_mm / 2, mark.package->body_width_mm / 2,
                            mark.package->span_mm / 2});
    return std::clamp(3 * extent_mm, 6.0, 60.0);
  }

  // As it lay on the screen when the newest note on it was written; the card of the mark brings the same view back.
  static std::optional<double> seen_turn_of(const Mark& mark) {
    const Note* newest = nullptr;
    for (const Note& note : mark.notes)
      if (note.view && note.view->side == mark.side && (!newest || newest->at <= note.at)) newest = &note;
    return newest ? std::optional(newest->view->turn_deg) : std::nullopt;
  }

  void add_place(Section& out, const Mark& mark) {
    const Photo* photo = photo_of(mark.side, std::nullopt, mark.id);
    if (const Photo* before = photo_of(mark.side, PhotoStage::before, mark.id)) photo = before;
    if (!photo) return;
    Picture whole = plain(*photo), close = plain(*photo);
    whole.caption = spoken_name(mark) + " on the " + std::string(side_name(mark.side)) + " side";
    whole.ring_at = mark.at;
    whole.overlay = false;
    close.caption = spoken_name(mark) + " as it was seen, with the overlay";
    close.marks = {mark.id};
    close.overlay = true;
    close.close_up_at = mark.at;
    close.close_up_reach_mm = reach_of(mark);
    close.seen_turn_deg = seen_turn_of(mark);
    out.blocks.push_back(PictureRow{{whole, close}});
  }

  void add_work(Section& out, const Id& id) {
    Table work{"What was done, in order", {"When", "What", "With", "Fitted"}, {}};
    if (shop_) work.headers.push_back("By");
    Table steps{"Steps", {"Step of", "Step", "Done", "Time taken", "Photo"}, {}};
    for (const Action& action : actions_in_order()) {
      if (action.mark != id) continue;
      std::string what = action.what + (action.pin.empty() ? "" : " (pin " + action.pin + ")");
      if (!action.words.empty()) what += ": " + action.words;
      std::string fitted = action.fitted_marking;
      if (!action.fitted_lot.empty()) fitted += (fitted.empty() ? "lot " : ", lot ") + action.fitted_lot;
      if (shop_ && !action.fitted_source.empty()) fitted += (fitted.empty() ? "from " : ", from ") + action.fitted_source;
      if (shop_ && !action.fitted_price.empty()) fitted += (fitted.empty() ? "price " : ", price ") + action.fitted_price;
      if (shop_ && action.bag_opened_at)
        fitted += (fitted.empty() ? "bag opened " : ", bag opened ") + spoken_time(*action.bag_opened_at);
      TableRow row{{spoken_time(action.at), what, spoken_process(action.process), fitted}, id, false};
      if (shop_) row.cells.push_back(action.by);
      work.rows.push_back(std::move(row));
      Timestamp previous = action.at;  // when the work was begun
      for (const Step& step : action.steps) {
        const bool timed = step.done_at && previous <= *step.done_at;
        const Photo* photo = photo_of_id(step.photo);
        steps.rows.push_back({{action.what, step.name, step.done_at ? spoken_time(*step.done_at) : "not ticked",
                               timed ? spoken_duration(step.done_at->ms - previous.ms) : "", photo ? photo->file : ""},
                              id,
                              false});
        if (step.done_at) previous = *step.done_at;
      }
    }
    if (!work.rows.empty()) out.blocks.push_back(std::move(work));
    if (!steps.rows.empty()) out.blocks.push_back(std::move(steps));
    Table spares{"Spares held against the lists", {"When", "Marking seen", "Verdict"}, {}};
    for (const SpareCheck& check : job_.spares)
      if (check.mark == id)
        spares.rows.push_back({{spoken_time(check.at), check.marking_seen, check.verdict}, id, check.verdict == "refused"});
    if (!spares.rows.empty()) out.blocks.push_back(std::move(spares));
  }

  void add_readings_around_work(Section& out, const Id& id) {
    std::optional<Timestamp> first, last;
    for (const Action& action : job_.actions)
      if (action.mark == id) {
        first = first ? std::min(*first, action.at) : action.at;
        last = last ? std::max(*last, action.at) : action.at;
      }
    Table table{"Readings here, before and after the work", {"", "Where", "Reading", "Should be", "Verdict"}, {}};
    for (const Reading& reading : job_.readings) {
      if (reading.mark != id || !first) continue;
      const TableRow whole = reading_row(reading);
      const char* when = reading.taken_at < *first ? "before" : reading.taken_at >= *last ? "after" : "during";
      table.rows.push_back({{when, whole.cells[0], whole.cells[1], whole.cells[3], whole.cells[4]}, id, whole.fault});
    }
    if (!table.rows.empty()) out.blocks.push_back(std::move(table));
  }

  const Photo* photo_of_id(const Id& id) const {
    for (const Photo* photo : photos_)
      if (photo->id == id) return photo;
    return nullptr;
  }

  // Photos that somebody said show this mark or its work, and those its steps were ticked with. The intake's are
  // shown whole already.
  void add_linked_photos(Section& out, const Id& id) {
    std::set<Id> named{id}, of_steps;
    for (const Action& action : job_.actions)
      if (action.mark == id) {
        named.insert(action.id);
        for (const Step& step : action.steps) of_steps.insert(step.photo);
      }
    PictureRow row;
    for (const Photo* photo : photos_) {
      const bool linked = std::any_of(photo->linked.begin(), photo->linked.end(), [&](const Id& to) { return named.count(to) > 0; });
      if (photo->stage != PhotoStage::intake && (linked || of_steps.count(photo->id)) && shown_linked_.insert(photo->id).second)
        row.pictures.push_back(plain(*photo));
    }
    if (!row.pictures.empty()) out.blocks.push_back(std::move(row));
  }

  // The photos that were compared, so that what is seen is what the answer is about; without one the usual pair.
  void add_before_after(Section& out, const Mark& mark) {
    const std::optional<PartAnswer> answer = newest_answer(job_, mark.id);
    const Photo* before = answer ? photo_of_id(answer->comparison->before) : nullptr;
    const Photo* after = answer ? photo_of_id(answer->comparison->after) : nullptr;
    if (!before || !before->registration || before->side != mark.side) before = photo_of(mark.side, PhotoStage::before, mark.id);
    if (!before) before = photo_of(mark.side, PhotoStage::intake, mark.id);
    if (!after || !after->registration || after->side != mark.side) after = photo_of(mark.side, PhotoStage::after, mark.id);
    const std::string words = answer ? comparison_words(*answer) : std::string{};
    if (!before || !after || before == after) {
      if (answer) out.blocks.push_back(Paragraph{"Compared before and after: " + words, TextKind::plain});
      return;
    }
    BeforeAfter pair{plain(*before), plain(*after), words};
    for (Picture* picture : {&pair.before, &pair.after}) {
      picture->close_up_at = mark.at;
      picture->close_up_reach_mm = reach_of(mark);
      picture->overlay = false;
      picture->on_board_frame = true;
      picture->marks = {mark.id};
    }
    pair.before.caption = spoken_name(mark) + " before";
    pair.after.caption = spoken_name(mark) + " after";
    out.blocks.push_back(std::move(pair));
  }

  std::string comparison_words(const PartAnswer& answer) const {
    std::string words = spoken_answer(*answer.part) + ". Compared " + spoken_time(answer.comparison->made_at);
    if (const std::string name = by(answer.comparison->by); !name.empty()) words += " by " + name;
    if (is_overtaken(job_, answer)) words += ", before the last work on it";
    return words + ". " + comparison_aid;
  }

  // What the comparisons found beside the parts that were worked on; turned or missing first, in pictures.
  void add_compared_parts() {
    constexpr std::size_t most_pictures = 6;
    std::vector<PartAnswer> found;
    std::set<Id> seen;
    std::map<std::string, int> counts;
    for (const KeptComparison& comparison : job_.comparisons)
      for (const ComparedPart& part : comparison.parts) {
        if (!seen.insert(part.mark).second) continue;
        const PartAnswer answer = *newest_answer(job_, part.mark);
        ++counts[answer.part->verdict];
        if (is_compared_finding(answer.part->verdict)) found.push_back(answer);
      }
    if (seen.empty()) return;
    std::stable_sort(found.begin(), found.end(), [](const PartAnswer& a, const PartAnswer& b) {
      const int ua = urgency_of(a.part->verdict), ub = urgency_of(b.part->verdict);
      return ua != ub ? ua < ub : a.part->refdes < b.part->refdes;
    });
    Section& out = section("Before and after, part by part");
    out.blocks.push_back(Paragraph{std::to_string(seen.size()) + (seen.size() == 1 ? " part" : " parts") + " compared: " +
                                       std::to_string(found.size()) + (found.size() == 1 ? " looks" : " look") + " changed, " +
                                       std::to_string(counts["same"]) + " the same, " + std::to_string(counts["cannot-tell"]) +
                                       " can't be told from the photos. " + comparison_aid,
                                   TextKind::plain});
    if (found.empty()) return;
    Table table{"Parts that look changed", {"Part", "Answer", "Confidence", "Why"}, {}};
    for (const PartAnswer& answer : found) {
      char confidence[16];
      std::snprintf(confidence, sizeof confidence, "%.2f", answer.part->confidence);
      table.rows.push_back({{answer.part->refdes.empty() ? mark_name(answer.part->mark) : answer.part->refdes, spoken_verdict(*answer.part), confidence, answer.part->words},
                            answer.part->mark,
                            urgency_of(answer.part->verdict) < 2});
    }
    out.blocks.push_back(std::move(table));
    const std::vector<Id> worked = worked_on();
    std::size_t shown = 0;
    for (const PartAnswer& answer : found) {
      const MarkPtr mark = layer_.marks.find(answer.part->mark);
      if (!mark || std::find(worked.begin(), worked.end(), mark->id) != worked.end() || shown++ >= most_pictures) continue;
      add_before_after(out, *mark);
    }
  }

  void add_checks() {
    if (job_.checks.empty()) return;
    Table table{"Checks at hand-back", {"Check", "Done"}, {}};
    for (const Check& check : job_.checks)
      table.rows.push_back({{check.text, check.ticked_at ? spoken_time(*check.ticked_at) : "not done"}, {}, !check.ticked_at});
    section("Checks at hand-back").blocks.push_back(std::move(table));
  }

  // "neighbour:<id>" names the neighbour; the others are words already.
  std::string point_name(const std::string& point) const {
    constexpr std::string_view neighbour = "neighbour:";
    if (point.starts_with(neighbour)) return "beside it: " + mark_name(Id{point.substr(neighbour.size())});
    if (point == "pin1") return "pin 1 marked";
    if (point == "orientation-photo") return "photo of the orientation";
    return point;
  }

  void add_overrides() {
    Table table{"Points passed over before lifting, and why", {"When", "Part", "Point", "Reason"}, {}};
    if (shop_) table.headers.push_back("By");
    for (const Acknowledgement& a : job_.acknowledgements) {
      if (a.reason.empty() && !shop_) continue;
      TableRow row{{spoken_time(a.at), mark_name(a.mark), point_name(a.point),
                    a.reason.empty() ? "acknowledged" : a.reason},
                   a.mark,
                   false};
      if (shop_) row.cells.push_back(a.by);
      table.rows.push_back(std::move(row));
    }
    if (!table.rows.empty()) section("What was passed over").blocks.push_back(std::move(table));
  }

  void add_cautions() {
    std::vector<std::string> lines = record_cautions(job_, layer_);
    for (const std::string& more : input_.more_cautions)
      if (std::find(lines.begin(), lines.end(), more) == lines.end()) lines.push_back(more);
    Section& out = section("Cautions");
    for (std::string& line : lines) out.blocks.push_back(Paragraph{std::move(line), TextKind::caution});
    out.blocks.push_back(Paragraph{precedence_line, TextKind::small});
  }

  void add_warranty() {
    if (!job_.hand_back) return;
    const HandBack& back = *job_.hand_back;
    Section& out = section("Warranty");
    if (back.warranty_months <= 0) {
      out.blocks.push_back(Paragraph{"No warranty was agreed for this work.", TextKind::plain});
      return;
    }
    out.blocks.push_back(
        Paragraph{"The work described here is under warranty for " + std::to_string(back.warranty_months) +
                      (back.warranty_months == 1 ? " month" : " months") + ", up to and including " +
                      back.warranty_until + ". It covers the parts fitted and the joints made; not other faults of the " +
                      "unit, nor damage after hand-back. Rights given by law are not touched.",
                  TextKind::plain});
  }

  void add_internal() {
    if (job_.notes.empty()) return;
    Section& out = section("Notes on the job");
    for (const Note& note : job_.notes)
      out.blocks.push_back(Paragraph{spoken_time(note.at) + (note.by.empty() ? "" : ", " + note.by) + ": " + note.text,
                                     TextKind::quote});
  }

  void add_later() {
    if (!shop_ && job_.addenda.empty()) {
      add_owner_notes();
      return;
    }
    if (!shop_) add_owner_notes();
    if (shop_ && !job_.earlier_hand_backs.empty()) {
      Table table{"Earlier hand-backs: the job was opened again", {"When", "Outcome", "Warranty until", "Reason", "By"}, {}};
      for (const HandBack& back : job_.earlier_hand_backs)
        table.rows.push_back({{spoken_time(back.at), spoken_outcome(back.outcome), back.warranty_until, back.reason, back.by}, {}, false});
      section("Opened again").blocks.push_back(std::move(table));
    }
    if (job_.addenda.empty()) return;
    Section& out = section("Added after hand-back");
    for (const Addendum& addendum : job_.addenda) {
      const std::string name = by(addendum.by);
      out.blocks.push_back(Paragraph{spoken_time(addendum.at) + (name.empty() ? "" : ", " + name) + ": " + addendum.text,
                                     TextKind::quote});
    }
  }

  void add_owner_notes() {
    Section out{"Notes", 1, {}, {}};
    for (const Note& note : job_.notes)
      if (!note.internal) out.blocks.push_back(Paragraph{spoken_time(note.at) + ": " + note.text, TextKind::quote});
    if (!out.blocks.empty()) record_.sections.push_back(std::move(out));
  }

  // Photos that no section above shows, so that every one is seen once.
  void add_photo_roll() {
    std::set<Id> seen;
    for (const Section& s : record_.sections)
      for (const Block& block : s.blocks)
        if (const auto* row = std::get_if<PictureRow>(&block))
          for (const Picture& picture : row->pictures)
            if (!picture.close_up_at && !picture.ring_at) seen.insert(picture.photo);
    PictureRow row;
    for (const Photo* photo : photos_)
      if (!seen.count(photo->id)) row.pictures.push_back(plain(*photo));
    if (!row.pictures.empty()) section("Photos in order").blocks.push_back(std::move(row));
  }

  static Picture plain(const Photo& photo) {
    Picture picture;
    picture.photo = photo.id;
    picture.caption = spoken_stage(photo.stage) + ", " + std::string(side_name(photo.side)) + " side, " +
                      (photo.captured_at ? "" : "time taken ") + spoken_capture_time(photo);
    if (!photo.note.empty()) picture.caption += ": " + photo.note;
    return picture;
  }

  void add_photo_list() {
    if (photos_.empty()) return;
    Table table{"Every photo of the job as it was taken; none was altered", {"File", "Stage", "Taken", "SHA-256"}, {}};
    for (const Photo* photo : photos_) {
      const auto fault = input_.photo_faults.find(photo->id);
      const bool faulty = fault != input_.photo_faults.end();
      table.rows.push_back({{photo->file, spoken_stage(photo->stage), spoken_capture_time(*photo),
                             photo->sha256 + (faulty ? " (" + fault->second + ")" : "")},
                            {},
                            faulty});
      if (faulty) table.caption = "The photos of the job; those marked are not as they were taken in";
    }
    section("List of photos").blocks.push_back(std::move(table));
  }

  void number_pictures() {
    int number = 0;
    for (Section& s : record_.sections)
      for (Block& block : s.blocks) {
        if (auto* row = std::get_if<PictureRow>(&block))
          for (Picture& picture : row->pictures) picture.number = ++number;
        if (auto* pair = std::get_if<BeforeAfter>(&block)) {
          pair->before.number = ++number;
          pair->after.number = ++number;
        }
      }
  }

  void note_mentioned() {
    std::set<Id> marks;
    for (const Reading& reading : job_.readings) marks.insert(reading.mark);
    for (const Action& action : job_.actions) marks.insert(action.mark);
    for (const SpareCheck& check : job_.spares) marks.insert(check.mark);
    for (const KeptComparison& comparison : job_.comparisons)
      for (const ComparedPart& part : comparison.parts)
        if (is_compared_finding(part.verdict)) marks.insert(part.mark);
    record_.mentioned.assign(marks.begin(), marks.end());
  }

  const RecordInput& input_;
  const Job& job_;
  const Layer& layer_;
  bool shop_;
  std::vector<const Photo*> photos_;
  std::set<Id> shown_linked_;
  Record record_;
};

}  // namespace

Result<Record> record_of(const RecordInput& input) {
  if (!input.snapshot.job)
    return Problem{"", "record", "a job folder", "a board folder: a record is made of a job"};
  return Maker(input).make();
}

std::vector<const Picture*> pictures_of(const Record& record) {
  std::vector<const Picture*> pictures;
  for (const Section& section : record.sections)
    for (const Block& block : section.blocks) {
      if (const auto* row = std::get_if<PictureRow>(&block))
        for (const Picture& picture : row->pictures) pictures.push_back(&picture);
      if (const auto* pair = std::get_if<BeforeAfter>(&block))
        pictures.insert(pictures.end(), {&pair->before, &pair->after});
    }
  return pictures;
}

}  // namespace boardlore
