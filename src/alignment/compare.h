// Before and after on one frame: is each part there, in its place, and the same way round?
//
// After an hour at the microscope the eye passes over a chip that went back turned. Both photos are drawn onto
// the board frame, the board around each part is aligned locally, and the part's own picture is looked for
// again: as it was, and turned. Only patterns are compared, not brightness, so that other light does not count
// as a change. A part whose picture cannot tell - too few pixels, the same from both ends, glare - is said to be
// one that cannot be told. An aid to the eye, never the last word.
#pragma once

#include <optional>
#include <stop_token>
#include <string>
#include <vector>

#include "alignment/straighten.h"
#include "domain/layer.h"
#include "pictures/progress.h"

namespace boardlore {

enum class PartVerdict { same, changed, moved, missing, turned, cannot_tell };
// Written by --json: "cannot-tell".
std::string_view verdict_name(PartVerdict verdict);
// nullopt: no such name.
std::optional<PartVerdict> verdict_named(std::string_view name);
// What a person should look at first: changed, moved, missing, turned.
bool is_finding(PartVerdict verdict);

struct PartComparison {
  Id mark;
  std::string refdes;
  PartVerdict verdict = PartVerdict::cannot_tell;
  int turn_deg = 0;          // counter-clockwise seen from the top: 0, 90, 180, 270
  double shift_mm = 0;       // against the board around it, beyond what leaning of its top explains
  double confidence = 0;     // 0 to 1, of the verdict
  std::string words;         // why: "the marking reads right only turned by 180 degrees"
  BoardRect place;           // to show both patches enlarged
};

// The square around a part in which it is compared and shown; nullopt: it has neither a body nor an outline.
std::optional<BoardRect> compared_place(const Mark& mark);

// Something outside of parts that was not there before, or is gone: a bridge, a ball of solder, flux.
struct SurroundingChange {
  BoardRect place;
  double area_mm2 = 0;
};

struct Comparison {
  std::vector<PartComparison> parts;            // turned or missing first, then other findings, then by designator
  std::vector<SurroundingChange> surroundings;  // largest first
  double px_per_mm = 0;                         // at which both were compared
};

struct RegisteredPicture {
  const Raster* picture = nullptr;
  Registration registration;
};

// Parts are those of the layer on `side`. Refused: the board has no size, a photo does not show this side, stopped.
Result<Comparison> compare_photos(const RegisteredPicture& before, const RegisteredPicture& after, const Layer& layer,
                                  Side side, const std::stop_token& stop = {}, const ProgressFn& progress = {});

}  // namespace boardlore
