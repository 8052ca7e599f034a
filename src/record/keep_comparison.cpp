#include "record/keep_comparison.h"

#include <cmath>

namespace boardlore {
namespace {

// More digits than mean anything would only make files differ.
double rounded(double value, double steps) { return std::isfinite(value) ? std::round(value * steps) / steps : 0; }

}  // namespace

Result<Edit> keep_comparison_edit(const Snapshot& snapshot, const Comparison& comparison, const ComparedPhotos& photos,
                                  const std::string& by, Timestamp at, Id id) {
  if (!snapshot.job) return Problem{"", "comparison", "a job folder to keep it in", "a board folder"};
  if (snapshot.job->hand_back) return Problem{"", "comparison", "a job that is open", "one that was handed back: open it again first"};
  KeptComparison kept;
  kept.id = std::move(id);
  kept.before = photos.before;
  kept.after = photos.after;
  kept.made_at = at;
  kept.by = by;
  for (const PartComparison& part : comparison.parts)  // why a part is the same needs no keeping
    kept.parts.push_back({part.mark, part.refdes, std::string(verdict_name(part.verdict)), part.turn_deg, rounded(part.shift_mm, 1000),
                          rounded(part.confidence, 100), part.verdict == PartVerdict::same ? std::string{} : part.words});
  Job job = *snapshot.job;
  std::erase_if(job.comparisons, [&](const KeptComparison& other) { return other.before == photos.before && other.after == photos.after; });
  job.comparisons.push_back(std::move(kept));
  return Edit{ChangeJob{std::move(job), "compare"}};
}

}  // namespace boardlore
