// Three versions of one JSON value made into one: what one side changed and the other did not is taken;
// where both changed the same place differently, the clash is listed with both values.
//
// Objects meet member by member, lists of things by their id (or what stands for one), lists that are sets
// element by element. What only makes sense whole (a registration, a package, an outline) is taken whole.
// The outcome does not depend on which side is named first.
#pragma once

#include <string>
#include <vector>

#include "storage/json_text.h"

namespace boardlore::storage {

struct Clash {
  std::string member;      // JSON pointer; a list's item is named by its id
  std::string one, other;  // JSON text, in order; empty: removed
};

// null stands for absent (no member of ours is ever null). `where`: pointer of what is merged; "" for a
// document or a mark. Until somebody chooses, an edit stands before a removal, else `one` of the clash.
Json merge_values(const Json& base, const Json& ours, const Json& theirs, const std::string& where, std::vector<Clash>& clashes);

// The value of a clash's member put into a document (`text`: JSON, empty: taken out). False: no such place.
bool put_member(Json& document, std::string_view member, const std::string& text);

}  // namespace boardlore::storage
