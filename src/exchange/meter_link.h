// A bench meter that speaks SCPI, over TCP (a raw socket, often port 5025) or a serial line: what it is, and one value.
//
// IEEE 488.2-1992: *IDN? (10.14), <NR1|NR2|NR3> response data (8.7.2 to 8.7.4), messages end with NL (7.5). SCPI-1999:
// READ? (vol. 2, 3), 9.91E37 is "not a number", 9.9E37 an overload (vol. 1, 7.2.1.4 and 7.2.1.5), FUNC? names what is
// measured, SYST:ERR? what went wrong. Nothing is sent that changes how the meter is set.
#pragma once

#include <chrono>
#include <memory>
#include <optional>
#include <string>

#include "domain/problem.h"
#include "values/quantity.h"

namespace boardlore {

struct MeterAddress {
  bool serial = false;
  std::string host_or_device;
  int port = 0;         // TCP
  int baud = 9600;      // serial:DEV@19200
};
// "tcp:HOST:PORT", "tcp:[::1]:PORT", "serial:/dev/ttyUSB0", "serial:/dev/ttyUSB0@19200"
Result<MeterAddress> parse_meter_address(const std::string& text);

struct MeterValue {
  std::string meter;                 // maker, model, serial, firmware, as it says
  std::string function;              // "VOLT", "RES", ...; empty: it did not say
  std::optional<Quantity> quantity;
  std::optional<double> value;       // in the SI unit; nullopt: overload
  bool below = false;                // the overload is a negative one
  std::string entry;                 // as the entry line takes it: "10.52k", "3.31 V", "OL"
};

// What a line of a meter means; the Problem says what is no number.
Result<MeterValue> understand_meter(const std::string& function, const std::string& value);

// Connects, asks once, closes. Whole within `patience`.
Result<MeterValue> read_meter(const MeterAddress& address, std::chrono::milliseconds patience = std::chrono::milliseconds(3000));

}  // namespace boardlore
