// What the window puts into the clipboard as text: the table of readings for a spreadsheet, a mark for a message.
#pragma once

#include "domain/layer.h"
#include "domain/job.h"
#include "judging/readings_table.h"

namespace boardlore {

// Columns parted by tabs, one row a line. No cell holds a tab or a line break, or begins as a formula would.
std::string readings_text(const std::vector<ReadingRow>& rows);
// What it is, where it lies, what should be read and what was, its notes. Nothing of the job but its readings on this mark.
std::string mark_text(const Layer& layer, const Job* job, const Mark& mark, Timestamp now);

}  // namespace boardlore
