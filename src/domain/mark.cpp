#include "domain/mark.h"

#include <array>

namespace boardlore {
namespace {

template <class Enum, std::size_t n>
std::optional<Enum> find(const std::array<std::string_view, n>& names, std::string_view name) {
  for (std::size_t i = 0; i < n; ++i)
    if (names[i] == name) return static_cast<Enum>(i);
  return std::nullopt;
}

constexpr std::array<std::string_view, 5> kinds{"part", "pin1", "keepout", "probe", "note"};
constexpr std::array<std::string_view, 2> sides{"top", "bottom"};
constexpr std::array<std::string_view, 8> families{"two-terminal", "sot",       "dual-row", "quad",
                                                   "grid-array",   "connector", "module",   "own-outline"};

}  // namespace

std::string_view mark_kind_name(MarkKind kind) { return kinds[static_cast<std::size_t>(kind)]; }
std::optional<MarkKind> parse_mark_kind(std::string_view name) { return find<MarkKind>(kinds, name); }
std::string_view side_name(Side side) { return sides[static_cast<std::size_t>(side)]; }
std::optional<Side> parse_side(std::string_view name) { return find<Side>(sides, name); }
std::string_view package_family_name(PackageFamily family) { return families[static_cast<std::size_t>(family)]; }
std::optional<PackageFamily> parse_package_family(std::string_view name) {
  return find<PackageFamily>(families, name);
}

}  // namespace boardlore
