#include "judging/entry_quantity.h"

#include <cmath>

namespace boardlore {
namespace {

using enum Quantity;
using List = std::vector<Quantity>;

// What is measured on such a part when neither unit nor prefix says.
List of_class(PartClass part) {
  switch (part) {
    case PartClass::resistor:
    case PartClass::inductor:
    case PartClass::ferrite:
    case PartClass::fuse:
    case PartClass::link:
    case PartClass::switching:
    case PartClass::transformer:
    case PartClass::loudspeaker:
    case PartClass::thermistor: return {resistance};
    case PartClass::battery: return {voltage};
    case PartClass::diode: return {diode};
    case PartClass::capacitor: return {resistance, capacitance};
    case PartClass::crystal: return {frequency, resistance};
    case PartClass::transistor:
    case PartClass::circuit: return {diode, voltage, resistance};
    case PartClass::connector:
    case PartClass::test_point:
    case PartClass::unsettled: break;
  }
  return {resistance, voltage, diode};
}

// A diode reading and a small voltage look alike; with power on it cannot be a diode reading.
bool could_be_diode(const SiNumber& number, PartClass part, Power power) {
  const bool has_junctions = part == PartClass::diode || part == PartClass::transistor || part == PartClass::circuit;
  return power == Power::off && has_junctions && number.value >= 0 && number.value <= (part == PartClass::diode ? 3.5 : 1.0);
}

}  // namespace

List possible_quantities(const SiNumber& number, PartClass part, Power power) {
  if (number.unit) {
    if (*number.unit == SiUnit::volt && could_be_diode(number, part, power)) return {diode, voltage};
    return {quantity_of(*number.unit)};
  }
  const bool wound = part == PartClass::inductor || part == PartClass::transformer || part == PartClass::ferrite;
  switch (number.power_of_ten) {
    case -12: return {capacitance};
    case -9:
    case -6:
      if (part == PartClass::capacitor) return {capacitance};
      if (wound) return {inductance};
      return {capacitance, inductance, current};
    case -3:
      if (part == PartClass::capacitor) return {resistance, capacitance};
      if (wound) return {resistance, inductance};
      if (part == PartClass::battery) return {voltage, resistance};
      return of_class(part);
    case 0: return of_class(part);
    default:
      if (part == PartClass::crystal) return {frequency, resistance};
      return {resistance};
  }
}

List possible_quantities_of_overload(PartClass part) {
  switch (part) {
    case PartClass::capacitor: return {resistance};
    case PartClass::crystal: return {resistance};
    case PartClass::battery: return {voltage, resistance};
    case PartClass::transistor:
    case PartClass::circuit:
    case PartClass::connector:
    case PartClass::test_point:
    case PartClass::unsettled: return {resistance, diode};
    default: return of_class(part);
  }
}

}  // namespace boardlore
