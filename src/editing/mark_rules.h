// What every mark must hold, whoever makes it: the window, a command, a file.
#pragma once

#include "domain/layer.h"
#include "domain/problem.h"
#include "judging/designator.h"

namespace boardlore {

// Far beyond any board, near enough to keep arithmetic exact. At the edge: accepted.
constexpr double max_board_side_mm = 2000;
constexpr double max_coordinate_mm = 10000;
constexpr std::size_t max_outline_points = 1000;

// nullopt: fine. Numbers finite and within bounds, designator well formed, shape of a sane size.
std::optional<Problem> fault_of(const Mark& mark);

// Ids of parts and probe points that share a designator with another on this board, whichever side.
std::vector<Id> duplicate_designators(const Layer& layer);

// "U3", or a word for the kind where there is no designator.
std::string spoken_name(const Mark& mark);

}  // namespace boardlore
