// Common packages, each row with where its numbers come from, and packages made from a few words.
//
// A technician says "QFP 48 at 0.5, body 7 x 7", or "SOIC-8", or "0603". Row spans are where the middles of the
// lands lie; where they are not said they are worked out from the body, and the source says so.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "domain/problem.h"
#include "domain/shop.h"

namespace boardlore {

const std::vector<Package>& common_packages();
// By name, whatever its case, blanks and hyphens: "soic8", "SOT-23", "0603", "1608M", "0603 metric". A bare four
// digit chip code that exists in both systems is read as imperial; the name says which. nullptr: not in the table.
const Package* find_package(std::string_view name);
// One of the shop's own, by name in the same way; nullptr: none.
const Package* find_own_package(const Shop& shop, std::string_view name);
// nullopt: fine to be kept as the shop's own. It has a name, and its pins can be worked out.
std::optional<Problem> fault_of_own(const Package& package);

struct PackageWords {
  std::string name;                    // "QFP", "SOIC-8", "0603"
  std::optional<int> pins, rows, columns;
  std::optional<double> pitch_mm, span_mm, span_y_mm, body_length_mm, body_width_mm;
  std::optional<RowCount> row_count;
  std::vector<std::string> missing;
};
// Starts from the shop's own package of that name, else from the table's row, else from the family the name belongs to;
// what is said wins. Refused: a name of no known family, or a pattern that cannot be.
Result<Package> package_from_words(const PackageWords& words, const Shop& shop = {});

}  // namespace boardlore
