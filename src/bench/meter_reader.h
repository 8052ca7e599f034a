// A bench meter's value, asked for at a key, beside the frame; it lands in the entry line and is not taken before a
// person has seen it.
#pragma once

#include <string>

#include "bench/tasks.h"
#include "exchange/meter_link.h"

namespace boardlore {

class MeterReader {
 public:
  bool working() const { return asked_; }
  // Nothing happens while an answer is still awaited.
  void ask(const std::string& address);
  std::optional<Result<MeterValue>> take();

 private:
  bool asked_ = false;
  Task<Result<MeterValue>> task_;
};

}  // namespace boardlore
