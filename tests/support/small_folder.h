// What tests of folders begin with: a clock that stands still, ids from a seed, a small board, a mark to add.
#pragma once

#include <memory>

#include "domain/layer.h"
#include "storage/session.h"

namespace small {

inline boardlore::Session session(std::uint64_t seed, std::uint64_t salt = 9) {
  boardlore::Session s;
  s.clock = [] { return boardlore::Timestamp{1'700'000'000'000}; };
  s.ids = std::make_shared<boardlore::IdSource>(seed, salt);
  return s;
}

inline boardlore::Board board() { return boardlore::Board{"Maker", "Model", "A", 100.0, 60.0, {}, {}}; }

inline boardlore::Mark probe(const boardlore::Session& s, const char* refdes) {
  boardlore::Mark mark;
  mark.id = s.new_id();
  mark.kind = boardlore::MarkKind::probe;
  mark.refdes = refdes;
  return mark;
}

}  // namespace small
