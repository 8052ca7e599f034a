#include "domain/mark_table.h"

#include <algorithm>

namespace boardlore {
namespace {

// Large enough that the list of chunks stays short at 20,000 marks, small enough to copy at once.
constexpr std::size_t chunk_size = 128;

bool by_id(const MarkPtr& mark, const Id& id) { return mark->id < id; }

}  // namespace

MarkTable::MarkTable(std::vector<MarkPtr> marks) {
  std::stable_sort(marks.begin(), marks.end(), [](const MarkPtr& a, const MarkPtr& b) { return a->id < b->id; });
  std::vector<MarkPtr> kept;
  kept.reserve(marks.size());
  for (MarkPtr& mark : marks) {
    if (!kept.empty() && kept.back()->id == mark->id)
      kept.back() = std::move(mark);
    else
      kept.push_back(std::move(mark));
  }
  size_ = kept.size();
  for (std::size_t at = 0; at < kept.size(); at += chunk_size) {
    const auto from = kept.begin() + static_cast<std::ptrdiff_t>(at);
    const auto to = kept.begin() + static_cast<std::ptrdiff_t>(std::min(kept.size(), at + chunk_size));
    chunks_.push_back(std::make_shared<const Chunk>(from, to));
  }
}

MarkPtr MarkTable::find(const Id& id) const {
  auto chunk = std::upper_bound(chunks_.begin(), chunks_.end(), id,
                                [](const Id& wanted, const auto& c) { return wanted < c->front()->id; });
  if (chunk == chunks_.begin()) return nullptr;
  --chunk;
  const auto mark = std::lower_bound((*chunk)->begin(), (*chunk)->end(), id, by_id);
  return mark != (*chunk)->end() && (*mark)->id == id ? *mark : nullptr;
}

MarkTable MarkTable::with(MarkPtr mark) const {
  MarkTable table = *this;
  if (table.chunks_.empty()) {
    table.chunks_.push_back(std::make_shared<const Chunk>(Chunk{std::move(mark)}));
    table.size_ = 1;
    return table;
  }
  auto chunk = std::upper_bound(table.chunks_.begin(), table.chunks_.end(), mark->id,
                                [](const Id& wanted, const auto& c) { return wanted < c->front()->id; });
  if (chunk != table.chunks_.begin()) --chunk;
  Chunk changed = **chunk;
  const auto place = std::lower_bound(changed.begin(), changed.end(), mark->id, by_id);
  if (place != changed.end() && (*place)->id == mark->id) {
    *place = std::move(mark);
  } else {
    changed.insert(place, std::move(mark));
    ++table.size_;
  }
  if (changed.size() <= 2 * chunk_size) {
    *chunk = std::make_shared<const Chunk>(std::move(changed));
  } else {
    const auto middle = changed.begin() + static_cast<std::ptrdiff_t>(changed.size() / 2);
    auto upper = std::make_shared<const Chunk>(middle, changed.end());
    *chunk = std::make_shared<const Chunk>(changed.begin(), middle);
    table.chunks_.insert(chunk + 1, std::move(upper));
  }
  return table;
}

MarkTable MarkTable::without(const Id& id) const {
  MarkTable table = *this;
  if (!find(id)) return table;
  auto chunk = std::upper_bound(table.chunks_.begin(), table.chunks_.end(), id,
                                [](const Id& wanted, const auto& c) { return wanted < c->front()->id; });
  --chunk;
  Chunk changed = **chunk;
  changed.erase(std::lower_bound(changed.begin(), changed.end(), id, by_id));
  --table.size_;
  if (changed.empty())
    table.chunks_.erase(chunk);
  else
    *chunk = std::make_shared<const Chunk>(std::move(changed));
  return table;
}

std::vector<MarkPtr> MarkTable::all() const {
  std::vector<MarkPtr> marks;
  marks.reserve(size_);
  each([&](const MarkPtr& mark) { marks.push_back(mark); });
  return marks;
}

bool MarkTable::operator==(const MarkTable& other) const {
  if (size_ != other.size_) return false;
  bool same = true;
  differences(*this, other, [&](const MarkPtr& a, const MarkPtr& b) { same = same && a && b && *a == *b; });
  return same;
}

}  // namespace boardlore
