// Filling in a field of the window, as every walk through it does.
#pragma once

#include <doctest/doctest.h>

#include <string>

#include "window/hands.h"

namespace boardlore {

// Clicked, typed into, sent off by Enter.
inline void fill(Hands& hands, const std::string& name, const std::string& words) {
  hands.click(name);
  hands.type(words);
  hands.key(XK_Return);
  REQUIRE(hands.settle());
}

}  // namespace boardlore
