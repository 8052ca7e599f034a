// What the search box found in the shop: boards, jobs and marks as rows that lead there.
#pragma once

#include "bench/scene.h"

namespace boardlore {

// What a row says; pure. `second` is smaller and beneath.
struct HitRow {
  std::string kind, first, second;
};
HitRow hit_row(const Hit& hit);

// Rows into the current panel; `height` 0: as high as they are. Hits in `leave_out` (the folder that lies open, whose
// marks have their own list) are not shown. Enter in the field before it, said by `first_wanted`, takes the first.
void draw_shop_hits(const Scene& scene, const ShopFound& found, const std::filesystem::path& leave_out, float height, bool first_wanted);

}  // namespace boardlore
