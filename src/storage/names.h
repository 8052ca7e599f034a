// Enumerations as files spell them.
#pragma once

#include <array>
#include <string_view>
#include <utility>

#include "domain/job.h"

namespace boardlore::storage {

template <class Enum>
struct Names;  // static constexpr std::array<std::pair<Enum, std::string_view>, n> table

#define BOARDLORE_NAMES(Enum, n, ...) \
  template <>                         \
  struct Names<Enum> {                \
    static constexpr std::array<std::pair<Enum, std::string_view>, n> table{{__VA_ARGS__}}; \
  }

BOARDLORE_NAMES(Side, 2, {Side::top, "top"}, {Side::bottom, "bottom"});
BOARDLORE_NAMES(MapModel, 3, {MapModel::homography, "homography"}, {MapModel::affine, "affine"},
                {MapModel::similarity, "similarity"});
BOARDLORE_NAMES(MapMethod, 2, {MapMethod::by_hand, "by-hand"}, {MapMethod::automatic, "automatic"});
BOARDLORE_NAMES(PhotoStage, 4, {PhotoStage::intake, "intake"}, {PhotoStage::before, "before"},
                {PhotoStage::during, "during"}, {PhotoStage::after, "after"});
BOARDLORE_NAMES(MarkKind, 5, {MarkKind::part, "part"}, {MarkKind::pin1, "pin1"}, {MarkKind::keepout, "keepout"},
                {MarkKind::probe, "probe"}, {MarkKind::note, "note"});
BOARDLORE_NAMES(PackageFamily, 8, {PackageFamily::two_terminal, "two-terminal"}, {PackageFamily::sot, "sot"},
                {PackageFamily::dual_row, "dual-row"}, {PackageFamily::quad, "quad"},
                {PackageFamily::grid_array, "grid-array"}, {PackageFamily::connector, "connector"},
                {PackageFamily::module, "module"}, {PackageFamily::own_outline, "own-outline"});
BOARDLORE_NAMES(RowCount, 3, {RowCount::one_row, "one-row"}, {RowCount::across, "across"},
                {RowCount::around, "around"});
BOARDLORE_NAMES(Qualifier, 4, {Qualifier::exact, "exact"}, {Qualifier::at_least, "at-least"},
                {Qualifier::at_most, "at-most"}, {Qualifier::overload, "overload"});
BOARDLORE_NAMES(Power, 2, {Power::off, "off"}, {Power::on, "on"});
BOARDLORE_NAMES(SaidTrend, 3, {SaidTrend::rising, "rising"}, {SaidTrend::falling, "falling"},
                {SaidTrend::steady, "steady"});
BOARDLORE_NAMES(Quantity, 8, {Quantity::resistance, "resistance"}, {Quantity::capacitance, "capacitance"},
                {Quantity::inductance, "inductance"}, {Quantity::voltage, "voltage"}, {Quantity::diode, "diode"},
                {Quantity::current, "current"}, {Quantity::frequency, "frequency"},
                {Quantity::temperature, "temperature"});

#undef BOARDLORE_NAMES

template <class Enum>
std::string_view name_of(Enum value) {
  for (const auto& [one, name] : Names<Enum>::table)
    if (one == value) return name;
  return "";
}

}  // namespace boardlore::storage
