// What the shop index keeps of one document: the words to find it by and what it taught.
//
// An index of thirty thousand jobs reads each file once; building values that nobody asks for would cost
// more than the reading. So the text is walked as it is parsed (SAX) and only what is searched is picked up.
// Nothing about the owner is: serial number, owner's name and condition stay in the job's own file.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "domain/problem.h"
#include "judging/fault_ranking.h"

namespace boardlore {

struct DigestMark {  // of a board's layer; of a job only the marks it added or changed
  std::string id, refdes, words;
};

struct Digest {
  bool is_job = false;
  std::string id;             // of the job or layer
  std::string layer;          // id of the board's layer
  std::string board;          // "maker model revision"
  std::string title;          // job: what was reported; board: as `board`
  std::string symptom;
  std::string refdes;         // all designators, each once, blanks between
  std::string words;          // notes, readings as typed, actions, markings
  std::string opened_at, outcome, closed_at;  // RFC 3339; empty: not there
  std::vector<Cure> actions;  // each once
  std::vector<DigestMark> marks;
};

// Refuses what is neither a job nor a layer, or not JSON.
Result<Digest> digest_document(std::string_view text, const std::string& file);

}  // namespace boardlore
