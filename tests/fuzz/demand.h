// A law a fuzz target holds its reader to: broken, the target says which and stops there.
#pragma once

#include <cstdio>
#include <cstdlib>

inline void demand(bool holds, const char* law) {
  if (holds) return;
  std::fprintf(stderr, "broken: %s\n", law);
  std::abort();
}
