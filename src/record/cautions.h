// The cautions that belong to what a job's marks and work involve, for whoever reads its record.
//
// Wording is our own; the hazards are those of bench practice (from memory, no single source). Nothing
// here permits anything.
#pragma once

#include <string>
#include <vector>

#include "domain/job.h"

namespace boardlore {

inline constexpr const char* precedence_line =
    "Local codes and licensed practice take precedence over anything written here.";

// General ones first, then what the marks touched and the words of the work give reason for.
std::vector<std::string> record_cautions(const Job& job, const Layer& layer);

}  // namespace boardlore
