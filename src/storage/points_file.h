// A points file: [{"photo_px":[x,y],"board_mm":[x,y],"name":"..."}, ...]
#pragma once

#include "domain/problem.h"
#include "domain/registration.h"

namespace boardlore {

constexpr std::size_t max_points = 10000;

Result<std::vector<Fiducial>> read_points(std::string_view text, const std::string& file);
std::string write_points(const std::vector<Fiducial>& points);

}  // namespace boardlore
