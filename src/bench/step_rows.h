// The steps of a part's rework on its card: started from a step list, ticked by one key each while the other
// hand works. The time of each tick is kept; the photo in view can go with it.
#pragma once

#include "bench/before_lift_view.h"
#include "bench/scene.h"

namespace boardlore {

// The action of this mark that is under way: the last one with a step not done, else the last; nullptr: none.
const Action* action_in_hand(const Job& job, const Id& mark);
// That action with its next open step ticked; nullopt: none open. `photo` may be empty.
std::optional<Action> next_step_ticked(const Job& job, const Id& mark, Timestamp at, const Id& photo);

// What is chosen and typed for the steps of the mark on the card.
struct StepForm {
  Id mark;
  std::string key;       // of the list to start from; empty: the usual one
  bool changing = false;
  std::string names, title;  // as typed, with commas
};

// Above what starts a rework stands what is still open before the part is lifted.
void draw_step_rows(const Scene& scene, BenchState& state, const Mark& mark, StepForm& form, BeforeLiftCheck& check);
// T ticks the next step of the mark on the card, Shift+T with the photo in view.
void use_step_keys(const Scene& scene, const BenchState& state, BeforeLiftCheck& check);

}  // namespace boardlore
