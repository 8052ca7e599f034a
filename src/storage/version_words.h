// What an earlier version holds, in a few words, so that one to bring back can be told from the others.
#pragma once

#include <string>

#include "storage/history.h"

namespace boardlore {

// "120 marks, 2 photos" of a board, "3 readings, 1 part worked on, 2 photos, handed back" of a job. What can't be read: its size.
std::string spoken_content(const KeptVersion& version);

}  // namespace boardlore
