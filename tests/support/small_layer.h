// A board of two parts with known ids, for tests of merging.
#pragma once

#include <cstdio>

#include "domain/layer.h"

namespace boardlore {

inline Id numbered_id(unsigned n) {
  char text[40];
  std::snprintf(text, sizeof text, "00000000-0000-7000-8000-%012x", n);
  return Id{text};
}

inline Mark part_numbered(unsigned n, const char* refdes) {
  Mark mark;
  mark.id = numbered_id(n);
  mark.kind = MarkKind::part;
  mark.refdes = refdes;
  mark.at = {double(n), 1};
  mark.accept = {"X1", "X2"};
  Limit limit;
  limit.id = numbered_id(900 + n);
  limit.low = 1;
  limit.high = 2;
  mark.limits = {limit};
  return mark;
}

inline Layer with_mark(Layer layer, const Mark& mark) {
  layer.marks = layer.marks.with(std::make_shared<const Mark>(mark));
  return layer;
}

inline Layer small_layer() {
  Layer layer;
  layer.id = numbered_id(1);
  layer.board = Board{"Maker", "Model", "A", 100.0, 60.0, {}, {}};
  return with_mark(with_mark(layer, part_numbered(10, "C14")), part_numbered(11, "U3"));
}

}  // namespace boardlore
