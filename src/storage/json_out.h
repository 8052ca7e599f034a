// One JSON document on stdout for `--json`, built by commands without knowing the library's corners.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "domain/frames.h"

namespace boardlore {

using JsonOut = nlohmann::ordered_json;

inline JsonOut json_point(BoardPoint p) { return JsonOut::array({p.x_mm, p.y_mm}); }
inline JsonOut json_point(PhotoPoint p) { return JsonOut::array({p.x_px, p.y_px}); }

// Two-space indentation, bytes that are not UTF-8 replaced, a newline at the end.
inline std::string json_text(const JsonOut& json) { return json.dump(2, ' ', false, JsonOut::error_handler_t::replace) + "\n"; }

}  // namespace boardlore
