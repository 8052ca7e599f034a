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

// What stands under a field that was not taken, the field in focus again; empty: nothing.
inline std::string said_at(Hands& hands, const std::string& name) {
  REQUIRE(hands.settle());
  const auto& faults = hands.app().faults().all();
  const auto fault = faults.find(name);
  if (fault == faults.end()) return {};
  const Anchors::Rect* field = hands.app().anchors().find(name);
  const Anchors::Rect* words = hands.app().anchors().find("fault-" + name);
  REQUIRE_MESSAGE(field != nullptr, name);
  REQUIRE_MESSAGE(words != nullptr, name);
  CHECK_MESSAGE(words->min.y >= field->max.y, name);  // right under it
  CHECK_MESSAGE(words->min.y < field->max.y + 40, name);
  CHECK_MESSAGE(ImGui::GetIO().WantTextInput, name);
  return fault->second.expected;
}

}  // namespace boardlore
