// What each edit does to a snapshot, and when it is refused.
#include <algorithm>
#include <cmath>

#include "editing/document.h"
#include "editing/mark_rules.h"

namespace boardlore {
namespace {

Problem refused(std::string where, std::string expected, std::string found) {
  return Problem{"", std::move(where), std::move(expected), std::move(found)};
}

Snapshot with_marks(const Snapshot& before, MarkTable marks) {
  Layer layer = *before.layer;
  layer.marks = std::move(marks);
  return {std::make_shared<const Layer>(std::move(layer)), before.job};
}

Snapshot with_layer(const Snapshot& before, Layer layer) {
  return {std::make_shared<const Layer>(std::move(layer)), before.job};
}

Snapshot with_job(const Snapshot& before, Job job) {
  return {before.layer, std::make_shared<const Job>(std::move(job))};
}

template <class Item>
auto by_id(std::vector<Item>& items, const Id& id) {
  return std::find_if(items.begin(), items.end(), [&](const Item& item) { return item.id == id; });
}

// Adds, or replaces the one of the same id.
template <class Item>
void put(std::vector<Item>& items, const Item& item) {
  if (const auto there = by_id(items, item.id); there != items.end())
    *there = item;
  else
    items.push_back(item);
}

std::optional<Problem> needs_job(const Snapshot& before, const char* what) {
  if (!before.job) return refused(what, "an open job", "a board folder");
  if (before.job->hand_back)
    return refused(what, "a job that is open", "a job handed back on " + to_rfc3339(before.job->hand_back->at) +
                                                   " (reopen it, or add an addendum)");
  return std::nullopt;
}

// The layer's own members belong to the board; a job changes marks only.
std::optional<Problem> needs_board(const Snapshot& before, const char* what) {
  if (before.job) return refused(what, "the board's own folder opened", "a job folder");
  return std::nullopt;
}

Result<Snapshot> applied(const Snapshot& before, const PlaceMark& edit) {
  if (before.layer->marks.find(edit.mark.id)) return refused("place mark", "a new id", edit.mark.id.text + " in use");
  if (auto problem = fault_of(edit.mark)) return *problem;
  return with_marks(before, before.layer->marks.with(std::make_shared<const Mark>(edit.mark)));
}

Result<Snapshot> applied(const Snapshot& before, const ChangeMark& edit) {
  if (!before.layer->marks.find(edit.mark.id)) return refused("change mark", "a mark that is there", "no mark " + edit.mark.id.text);
  if (auto problem = fault_of(edit.mark)) return *problem;
  return with_marks(before, before.layer->marks.with(std::make_shared<const Mark>(edit.mark)));
}

Result<Snapshot> applied(const Snapshot& before, const MoveMark& edit) {
  const MarkPtr old = before.layer->marks.find(edit.mark);
  if (!old) return refused("move mark", "a mark that is there", "no mark " + edit.mark.text);
  Mark moved = *old;
  moved.at = edit.to;
  if (auto problem = fault_of(moved)) return *problem;
  return with_marks(before, before.layer->marks.with(std::make_shared<const Mark>(std::move(moved))));
}

Result<Snapshot> applied(const Snapshot& before, const RemoveMark& edit) {
  if (!before.layer->marks.find(edit.mark)) return refused("remove mark", "a mark that is there", "no mark " + edit.mark.text);
  return with_marks(before, before.layer->marks.without(edit.mark));
}

Result<Snapshot> applied(const Snapshot& before, const SetBoard& edit) {
  if (auto problem = needs_board(before, "board")) return *problem;
  for (const auto& side_mm : {edit.board.width_mm, edit.board.height_mm})
    if (side_mm && !(*side_mm > 0 && *side_mm <= max_board_side_mm))
      return refused("board size", "more than 0 and at most 2000 mm", std::to_string(*side_mm));
  Layer layer = *before.layer;
  layer.board = edit.board;
  return with_layer(before, std::move(layer));
}

Result<Snapshot> applied(const Snapshot& before, const SetSettings& edit) {
  if (auto problem = needs_board(before, "settings")) return *problem;
  Layer layer = *before.layer;
  layer.settings = edit.settings;
  return with_layer(before, std::move(layer));
}

Result<Snapshot> applied(const Snapshot& before, const PutPhoto& edit) {
  if (before.job && !edit.to_layer) {
    if (auto problem = needs_job(before, "photo")) return *problem;
    Job job = *before.job;
    put(job.photos, edit.photo);
    return with_job(before, std::move(job));
  }
  if (auto problem = needs_board(before, "reference photo")) return *problem;
  Layer layer = *before.layer;
  put(layer.photos, edit.photo);
  return with_layer(before, std::move(layer));
}

// Finds the photo in the job or the layer and lets `change` work on the list it is in.
template <class Change>
Result<Snapshot> change_photo(const Snapshot& before, const Id& photo, Change change) {
  if (before.job) {
    Job job = *before.job;
    if (const auto there = by_id(job.photos, photo); there != job.photos.end()) {
      if (auto problem = needs_job(before, "photo")) return *problem;
      change(job.photos, there);
      return with_job(before, std::move(job));
    }
  }
  Layer layer = *before.layer;
  if (const auto there = by_id(layer.photos, photo); there != layer.photos.end()) {
    if (auto problem = needs_board(before, "reference photo")) return *problem;
    change(layer.photos, there);
    return with_layer(before, std::move(layer));
  }
  return refused("photo", "a photo that is there", "no photo " + photo.text);
}

Result<Snapshot> applied(const Snapshot& before, const RemovePhoto& edit) {
  return change_photo(before, edit.photo, [](std::vector<Photo>& photos, auto there) { photos.erase(there); });
}

Result<Snapshot> applied(const Snapshot& before, const RegisterPhoto& edit) {
  return change_photo(before, edit.photo, [&](std::vector<Photo>&, auto there) {
    there->registration = edit.registration;
    if (edit.registration) there->side = edit.registration->mirrored ? Side::bottom : Side::top;
  });
}

Result<Snapshot> applied(const Snapshot& before, const AddReadings& edit) {
  if (auto problem = needs_job(before, "reading")) return *problem;
  Job job = *before.job;
  for (const Reading& reading : edit.readings) {
    if (!std::isfinite(reading.value)) return refused("reading", "a finite number", reading.typed);
    job.readings.push_back(reading);
  }
  return with_job(before, std::move(job));
}

template <class Item>
Result<Snapshot> removed(const Snapshot& before, std::vector<Item> Job::*list, const Id& id, const char* what) {
  if (auto problem = needs_job(before, what)) return *problem;
  Job job = *before.job;
  const auto there = by_id(job.*list, id);
  if (there == (job.*list).end()) return refused(what, "one that is there", "none of id " + id.text);
  (job.*list).erase(there);
  return with_job(before, std::move(job));
}

template <class Item>
Result<Snapshot> added(const Snapshot& before, std::vector<Item> Job::*list, const Item& item, const char* what) {
  if (auto problem = needs_job(before, what)) return *problem;
  Job job = *before.job;
  put(job.*list, item);
  return with_job(before, std::move(job));
}

Result<Snapshot> applied(const Snapshot& before, const RemoveReading& edit) {
  return removed(before, &Job::readings, edit.reading, "reading");
}
Result<Snapshot> applied(const Snapshot& before, const PutAction& edit) {
  return added(before, &Job::actions, edit.action, "action");
}
Result<Snapshot> applied(const Snapshot& before, const RemoveAction& edit) {
  return removed(before, &Job::actions, edit.action, "action");
}
Result<Snapshot> applied(const Snapshot& before, const AddJobNote& edit) {
  return added(before, &Job::notes, edit.note, "note");
}
Result<Snapshot> applied(const Snapshot& before, const PutAcknowledgement& edit) {
  return added(before, &Job::acknowledgements, edit.acknowledgement, "acknowledgement");
}
Result<Snapshot> applied(const Snapshot& before, const AddSpareCheck& edit) {
  return added(before, &Job::spares, edit.check, "spare");
}

Result<Snapshot> applied(const Snapshot& before, const ChangeJob& edit) {
  if (!before.job) return refused("job", "an open job", "a board folder");
  return with_job(before, edit.job);
}

Result<Snapshot> applied(const Snapshot& before, const ChangeLayer& edit) {
  if (auto problem = needs_board(before, "layer")) return *problem;
  Layer layer = edit.layer;
  layer.marks = before.layer->marks;
  return with_layer(before, std::move(layer));
}

}  // namespace

Result<Snapshot> apply(const Snapshot& before, const Edit& edit) {
  return std::visit([&](const auto& one) { return applied(before, one); }, edit);
}

}  // namespace boardlore
