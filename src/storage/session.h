// Who is at work, the clock and the source of ids: what a run is given from outside so that it can be
// repeated.
#pragma once

#include <cstdint>
#include <memory>
#include <string>

#include "domain/id.h"

namespace boardlore {

struct Session {
  Clock clock;
  std::shared_ptr<IdSource> ids;
  std::string technician;  // as the technician set it ($BOARDLORE_TECHNICIAN); may be empty

  Timestamp now() const { return clock(); }
  Id new_id() const { return ids->next(clock()); }
};

// The real clock and random ids. Where SOURCE_DATE_EPOCH is set, the clock stands at it and the ids follow
// from `what_is_done` (the words of the command and the document they meet), so that a run repeats to the byte.
Session make_session(std::string_view what_is_done);

}  // namespace boardlore
