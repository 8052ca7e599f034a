// Hands on the card of the chosen mark: what is scrolled out of sight is scrolled to, as a person would.
#pragma once

#include <doctest/doctest.h>

#include <cstdlib>

#include "storage/folder.h"
#include "storage/session.h"
#include "support/places.h"
#include "window/hands.h"

namespace boardlore {

// A long test of the card is gone through at one size only, unless all are asked for.
inline bool in_short_time() { return !std::getenv("BOARDLORE_ALL_SIZES"); }

// False: it is nowhere on the card, from top to bottom.
inline bool seek(Hands& hands, const std::string& name) {
  const Anchors::Rect body = *hands.app().anchors().find("photo");
  const float bottom = hands.app().anchors().find("entry-line")->min.y - 8;  // the card reaches down beside the photo roll
  const float x = body.max.x + 60, y = (body.min.y + body.max.y) / 2;
  const auto whole = [&] {
    const Anchors::Rect* there = hands.app().anchors().find(name);
    return there && there->middle().y > body.min.y && there->max.y < bottom;
  };
  // Where everything on the card lies: the same after scrolling means that there is no more.
  const auto lying = [&] {
    std::string places;
    for (const auto& [other, where] : hands.app().anchors().all())
      if (where.min.x > body.max.x) places += other + "@" + std::to_string(static_cast<int>(where.min.y)) + " ";
    return places;
  };
  if (whole()) return true;
  hands.wheel(x, y, 80);
  for (std::string before; !whole() && before != lying();) {
    before = lying();
    hands.wheel(x, y, -2);
  }
  return whole();
}

inline void press(Hands& hands, const std::string& name) {
  INFO(name);
  REQUIRE(seek(hands, name));
  hands.click(name);
  REQUIRE(hands.settle());
}

// What stood in the field is replaced.
inline void refill(Hands& hands, const std::string& name, const std::string& words) {
  INFO(name << " " << words);
  REQUIRE(seek(hands, name));
  hands.click(name);
  hands.key(XK_a, {XK_Control_L});
  hands.type(words);
  hands.key(XK_Return);
  REQUIRE(hands.settle());
}

inline void show(Hands& hands, const std::string& refdes) {
  hands.key(XK_f, {XK_Control_L});
  hands.type(refdes);
  hands.key(XK_Return);
  REQUIRE(hands.settle());
}

// A line typed in the entry line by the keyboard alone.
inline void enter(Hands& hands, const std::string& line) {
  hands.key(XK_space);
  hands.type(line);
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  hands.key(XK_Escape);
  REQUIRE(hands.settle());
}

// The demo board in `shop`/board and a job on it in `shop`/job.
inline void lay_out_job(const std::filesystem::path& shop) {
  std::filesystem::create_directories(shop);
  std::filesystem::copy(places::source_dir() / "boards/brackenwick-gc12", shop / "board", std::filesystem::copy_options::recursive);
  Session session = make_session("Ann");
  Job job;
  job.reported = "does not start";
  REQUIRE(Folder::create_job(shop / "job", shop / "board", job, session));
}

}  // namespace boardlore
