// When a warranty ends: months counted on the calendar, not days.
//
// A warranty of 1 month from January 31 ends on the last day of February. The day of hand-back is kept where
// the month has it, and becomes the month's last day where not. Source of the rule: common practice
// (Regulation (EEC, Euratom) No 1182/71, article 3(2)(c), says the same for periods in months; from memory).
#pragma once

#include <chrono>
#include <string>

#include "domain/id.h"
#include "domain/problem.h"

namespace boardlore {

constexpr int longest_warranty_months = 1200;

// The last day, "2027-03-04", counted from the day of hand-back in UTC. Refused: below 0 or above
// longest_warranty_months.
Result<std::string> warranty_until(Timestamp handed_back, int months);
std::chrono::year_month_day months_later(std::chrono::year_month_day from, int months);
std::chrono::year_month_day day_of(Timestamp time);  // UTC
std::string to_text(std::chrono::year_month_day day);

}  // namespace boardlore
