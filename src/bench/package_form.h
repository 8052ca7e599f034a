// Which package the package tool lays onto two clicked pads: its name, and where the name alone does not say it, pins,
// pitch and body. Shown on the card while the tool is in hand.
#pragma once

#include "bench/scene.h"

namespace boardlore {

struct PackageForm {
  std::string name, pins, pitch, body;  // as typed
  bool own_open = false;                // the shop's own are listed
};

void draw_package_form(const Scene& scene, BenchState& state, PackageForm& form);

}  // namespace boardlore
