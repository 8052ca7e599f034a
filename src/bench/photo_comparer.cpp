#include "bench/photo_comparer.h"

#include <cstdio>

#include "pictures/photo_file.h"

namespace boardlore {

const PartComparison* Compared::part(const Id& mark) const {
  for (const PartComparison& part : comparison.parts)
    if (part.mark == mark) return &part;
  return nullptr;
}

std::string verdict_words(const PartComparison& part) {
  char words[48];
  switch (part.verdict) {
    case PartVerdict::same: return "the same";
    case PartVerdict::changed: return "looks different";
    case PartVerdict::moved: std::snprintf(words, sizeof words, "moved %.2f mm", part.shift_mm); return words;
    case PartVerdict::missing: return "missing";
    case PartVerdict::turned: std::snprintf(words, sizeof words, "turned %d°", part.turn_deg); return words;
    case PartVerdict::cannot_tell: return "can't be told";
  }
  return {};
}

std::string PhotoComparer::compare(const DeskView& desk, const Id& before, const Id& after) {
  const DeskPhoto *first = desk.find_photo(before), *second = desk.find_photo(after);
  if (!first || !second || first == second) return "Comparing needs a photo from before and one from after the work.";
  if (!first->photo.registration || !second->photo.registration) return "Register both photos first: they are compared on the board.";
  if (first->photo.side != second->photo.side) return "One photo shows the top, the other the bottom.";
  task_.stop();
  under_way_ = true;
  task_ = Task<Result<ComparedPtr>>::start([a = *first, b = *second, layer = desk.snapshot.layer](const TaskReins& reins) -> Result<ComparedPtr> {
    const auto tell = [&](double from, double to) {
      return [progress = reins.progress, from, to](double done) { *progress = from + (to - from) * done; };
    };
    const Result<Raster> was = decode_full(a.path, tell(0, 0.1), reins.stop);
    if (!was) return was.problem();
    const Result<Raster> is = decode_full(b.path, tell(0.1, 0.2), reins.stop);
    if (!is) return is.problem();
    const RegisteredPicture earlier{&*was, *a.photo.registration}, later{&*is, *b.photo.registration};
    auto comparison = compare_photos(earlier, later, *layer, a.photo.side, reins.stop, tell(0.2, 0.8));
    if (!comparison) return comparison.problem();
    auto difference = difference_picture(earlier, later, layer->board, a.photo.side, 4e6, reins.stop);
    if (!difference) return difference.problem();
    Compared compared{a.photo.id, b.photo.id, a.photo.side, std::move(*comparison), std::make_shared<const DifferencePicture>(std::move(*difference))};
    return ComparedPtr(std::make_shared<const Compared>(std::move(compared)));
  });
  return {};
}

void PhotoComparer::forget() {
  task_ = {};
  under_way_ = false;
}

std::optional<PhotoComparer::News> PhotoComparer::take() {
  auto done = task_.take();
  if (!done) return std::nullopt;
  under_way_ = false;
  News news;
  if (*done) news.compared = **done;
  else if (done->problem().found != kStopped) news.trouble = to_text(done->problem());
  return news;
}

ComparedPtr compared_from(const KeptComparison& kept, const DeskView& desk) {
  const DeskPhoto* before = desk.find_photo(kept.before);
  if (!before || !desk.find_photo(kept.after)) return nullptr;
  auto compared = std::make_shared<Compared>();
  compared->before = kept.before;
  compared->after = kept.after;
  compared->side = before->photo.side;
  for (const ComparedPart& part : kept.parts) {
    const MarkPtr mark = desk.snapshot.layer->marks.find(part.mark);
    const auto place = mark ? compared_place(*mark) : std::nullopt;
    const auto verdict = verdict_named(part.verdict);
    if (place && verdict)
      compared->comparison.parts.push_back({part.mark, part.refdes, *verdict, part.turn_deg, part.shift_mm, part.confidence, part.words, *place});
  }
  return compared;
}

ComparedPair likely_pair(const DeskView& desk, const Id& first_pane, const Id& second_pane) {
  const DeskPhoto *first = desk.find_photo(first_pane), *second = desk.find_photo(second_pane);
  const auto order = [&](const Id& id) {
    for (std::size_t i = 0; i < desk.photos.size(); ++i)
      if (desk.photos[i].photo.id == id) return i;
    return desk.photos.size();
  };
  if (first && second && first != second && !first->reference && !second->reference && !first->made && !second->made && first->photo.registration &&
      second->photo.registration && first->photo.side == second->photo.side) {
    // The earlier one is "before", whichever pane it is in.
    const bool turned = order(second_pane) < order(first_pane);
    return turned ? ComparedPair{second_pane, first_pane} : ComparedPair{first_pane, second_pane};
  }
  const Side side = first ? first->photo.side : Side::top;
  ComparedPair pair;
  Id first_of_side, last_of_side;
  for (const DeskPhoto& entry : desk.photos) {
    if (entry.reference || entry.made || !entry.photo.registration || entry.photo.side != side) continue;
    const auto stage = entry.photo.stage.value_or(PhotoStage::before);
    if ((stage == PhotoStage::before || stage == PhotoStage::intake) && (pair.before.empty() || stage == PhotoStage::before)) pair.before = entry.photo.id;
    if (stage == PhotoStage::after) pair.after = entry.photo.id;
    if (first_of_side.empty()) first_of_side = entry.photo.id;
    last_of_side = entry.photo.id;
  }
  // Nobody said which is which: the first and the last.
  if (pair.before.empty() || pair.after.empty()) pair = {first_of_side, last_of_side};
  return pair.before == pair.after ? ComparedPair{} : pair;
}

}  // namespace boardlore
