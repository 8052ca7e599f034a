#include "judging/photo_order.h"

namespace boardlore {

bool taken_before(const Photo& a, const Photo& b) {
  const auto when = [](const Photo& photo) { return photo.captured_at ? photo.captured_at : photo.added_at; };
  const auto first = when(a), second = when(b);
  if (first.has_value() != second.has_value()) return first.has_value();
  return first && *first < *second;
}

}  // namespace boardlore
