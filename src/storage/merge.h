// Two people's edits over a common ancestor, at member level: nothing is dropped in silence.
//
// Marks meet by id, their members by name, lists of things with ids by those ids. What one side changed
// and the other did not is taken; where both changed the same member differently, or one changed what the
// other took out, both values are kept in the document as a dispute. A part that both sides marked anew
// (same designator, or same place and kind) is kept twice and offered as one, by a dispute too. The result
// does not depend on which side is named first.
#pragma once

#include "editing/document.h"

namespace boardlore {

struct Merged {
  Snapshot snapshot;
  std::size_t disputes = 0;  // new ones
};
Result<Merged> merge_snapshots(const Snapshot& base, const Snapshot& ours, const Snapshot& theirs);

struct MergedLayer {
  Layer layer;
  std::vector<Dispute> disputes;  // the new ones; they are in the layer too
};
// Refused: layers of different boards (their ids differ). A base of an empty id stands for "no common ancestor".
Result<MergedLayer> merge_layers(const Layer& base, const Layer& ours, const Layer& theirs);

// Two texts of layers or of jobs (both sides of one kind); an empty base text: no common ancestor.
struct MergedText {
  std::string text;
  std::vector<Dispute> disputes;
};
struct VersionFile {
  std::string text, file;  // `file` names it in a Problem
};
Result<MergedText> merge_texts(const VersionFile& base, const VersionFile& ours, const VersionFile& theirs);

// Nearer than this, two marks of one kind are the same: less than the centres of the smallest parts are
// apart (0201 imperial, 0.6 mm). Common practice, no source. At the edge: the same.
constexpr double same_place_mm = 0.4;
// The member of a dispute that offers two marks as one: `one` and `other` hold their ids.
constexpr std::string_view same_part_member = "/same_part";

}  // namespace boardlore
