#include "record/warranty.h"

#include <cstdio>

namespace boardlore {

std::chrono::year_month_day months_later(std::chrono::year_month_day from, int months) {
  const std::chrono::year_month_day moved = from + std::chrono::months{months};
  if (moved.ok()) return moved;
  return moved.year() / moved.month() / std::chrono::last;
}

std::chrono::year_month_day day_of(Timestamp time) {
  const std::chrono::sys_time<std::chrono::milliseconds> at{std::chrono::milliseconds{time.ms}};
  return std::chrono::floor<std::chrono::days>(at);
}

std::string to_text(std::chrono::year_month_day day) {
  char text[32];
  std::snprintf(text, sizeof text, "%04d-%02u-%02u", static_cast<int>(day.year()), static_cast<unsigned>(day.month()),
                static_cast<unsigned>(day.day()));
  return text;
}

Result<std::string> warranty_until(Timestamp handed_back, int months) {
  if (months < 0 || months > longest_warranty_months)
    return Problem{"", "--warranty-months", "0 to " + std::to_string(longest_warranty_months) + " months",
                   std::to_string(months)};
  return to_text(months_later(day_of(handed_back), months));
}

}  // namespace boardlore
