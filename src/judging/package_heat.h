// How hot the body of a package may get: the classes of IPC/JEDEC J-STD-020.
//
// The number is of the middle of the package's top, not of the air or the nozzle. For a user it is a maximum.
#pragma once

#include <string_view>

namespace boardlore {

enum class SolderKind { lead_free, tin_lead };

// Thickness in mm, volume in mm3 (without leads, balls and loose heat sinks). Lead-free: table 4-2 as published from
// revision C, unchanged in D and E. Tin-lead: revision D and later, 235 and 220 °C (cells from memory); the 240 and
// 225 °C still widely copied are revision C's.
double package_class_c(double thickness_mm, double volume_mm3, SolderKind solder);
constexpr std::string_view package_class_source = "IPC/JEDEC J-STD-020, as published; tin-lead cells from memory";

// Reflow passes that a package is usually rated for.
constexpr int usual_reflow_passes = 3;

}  // namespace boardlore
