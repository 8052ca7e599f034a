#include "judging/package_height.h"

#include <algorithm>
#include <string_view>

namespace boardlore {
namespace {

std::optional<double> of_two_terminal(const Package& package) {
  struct Case {
    std::string_view name;
    double height_mm;
  };
  for (const Case& moulded : {Case{"moulded A", 1.8}, Case{"moulded B", 2.1}, Case{"moulded C", 2.8}, Case{"moulded D", 3.1}})
    if (package.name == moulded.name) return moulded.height_mm;
  return std::nullopt;
}

double of_dual_row(const Package& package) {
  if (package.pitch_mm > 2.3) return 5.33;   // MS-001
  if (package.pitch_mm > 1.2) return std::min(package.body_length_mm, package.body_width_mm) > 5.5 ? 2.65 : 1.75;  // MS-013, MS-012
  return 2.0;                                // MO-150; thinner ones are lower
}

double of_quad(const Package& package) {
  if (package.pitch_mm > 1.2) return 4.57;   // MS-018
  return std::max(package.body_length_mm, package.body_width_mm) > 20 ? 4.1 : 2.45;  // MS-022
}

}  // namespace

std::optional<double> highest_body_mm(const Package& package) {
  switch (package.family) {
    case PackageFamily::two_terminal: return of_two_terminal(package);
    case PackageFamily::sot: return 1.8;     // TO-261, the highest of them; MO-178 has 1.45
    case PackageFamily::dual_row: return of_dual_row(package);
    case PackageFamily::quad: return of_quad(package);
    case PackageFamily::grid_array: return std::max(package.body_length_mm, package.body_width_mm) > 20 ? 3.5 : 2.5;  // MS-034
    case PackageFamily::connector:
    case PackageFamily::module:
    case PackageFamily::own_outline: return std::nullopt;
  }
  return std::nullopt;
}

}  // namespace boardlore
