// Cautions: what can hurt a person or ruin the board at this step, from what the marks and the plan say.
//
// They are shown where the step is planned and printed in the record. A caution is raised rather too often than
// too seldom, and none of them, nor their absence, says that something is safe.
#pragma once

#include "domain/job.h"
#include "geometry/clearance.h"

namespace boardlore {

struct Caution {
  std::string key;     // "bulk-capacitor", "coin-cell", "mains", "moisture", "static", "alloy", ... : stable, for files and tests
  std::string text;
  std::string source;  // where the figure in it comes from; may be "common practice, no source"
  bool operator==(const Caution&) const = default;
};

// Printed under every list of cautions.
constexpr std::string_view cautions_closing =
    "Local codes and licensed practice take precedence. This list is an aid: it may be incomplete, and nothing in it is a permission.";

// For work on one part: stored charge, cells, mains, moisture, static, hot work. Without a job (planning on a
// board) `job` is nullptr.
std::vector<Caution> cautions_for_part(const Layer& layer, const Job* job, const Mark& part, Timestamp now);
// For a plan: what the set temperatures mean for the package's class and the alloy of the joint.
std::vector<Caution> cautions_for_process(const Process& process, const Mark& part, const ClearanceReport* clearance);
// Everything that fits the job's actions, each caution once, for the record.
std::vector<Caution> cautions_for_job(const Layer& layer, const Job& job, Timestamp now);

// Of a capacitor's value as written ("220u 400V", "470 µF / 25 V"). nullopt: not said.
struct CapacitorRating {
  std::optional<double> farad, volt;
};
CapacitorRating rating_of(std::string_view value);

}  // namespace boardlore
