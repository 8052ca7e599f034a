#include "bench/meter_reader.h"

namespace boardlore {

void MeterReader::ask(const std::string& address) {
  if (asked_) return;
  asked_ = true;
  task_ = Task<Result<MeterValue>>::start([address](const TaskReins&) -> Result<MeterValue> {
    const Result<MeterAddress> where = parse_meter_address(address);
    if (!where) return where.problem();
    return read_meter(*where);
  });
}

std::optional<Result<MeterValue>> MeterReader::take() {
  auto answer = task_.take();
  if (answer) asked_ = false;
  return answer;
}

}  // namespace boardlore
