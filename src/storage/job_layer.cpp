// A job's marks over its board's, and back: the file holds only what the job changed.
#include "storage/documents.h"

namespace boardlore {

Layer layer_of_job(const Layer& board, const JobDocument& document) {
  Layer layer = board;
  for (const Mark& mark : document.removed_marks) layer.marks = layer.marks.without(mark.id);
  for (const Mark& mark : document.marks) layer.marks = layer.marks.with(std::make_shared<const Mark>(mark));
  return layer;
}

JobDocument job_document(const Job& job, const Layer& board, const Layer& now) {
  JobDocument document;
  document.job = job;
  MarkTable::differences(board.marks, now.marks, [&](const MarkPtr& before, const MarkPtr& after) {
    if (before && after && *before == *after) return;
    if (after) document.marks.push_back(*after);
    if (before && after) document.marks_before.push_back(*before);
    if (before && !after) document.removed_marks.push_back(*before);
  });
  return document;
}

}  // namespace boardlore
