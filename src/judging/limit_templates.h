// Starting limits for the points a bench meets every day, to be applied to a mark and edited.
// Every one says where its numbers come from; most are common practice with no source, and say so.
#pragma once

#include <string_view>
#include <vector>

#include "domain/reading.h"

namespace boardlore {

struct LimitTemplate {
  std::string_view name;   // "coin-cell": as typed on the command line
  std::string_view title;  // "lithium coin cell, open circuit"
  Quantity quantity;
  std::optional<Power> power;
  std::optional<double> low, high;
  std::string_view source;
  std::string_view advice;
};

const std::vector<LimitTemplate>& limit_templates();
const LimitTemplate* find_limit_template(std::string_view name);
Limit limit_from(const LimitTemplate& from, const std::string& pin, const Id& id);

}  // namespace boardlore
