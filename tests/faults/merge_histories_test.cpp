// The laws of the merge, over random histories of three people: it does not matter who is named first, merging
// again changes nothing, and without disputes three people may be merged in any order.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <random>

#include "storage/documents.h"
#include "storage/merge.h"
#include "support/small_layer.h"

using namespace boardlore;

namespace {

// A few random edits, as one person makes them. `person`: makes ids apart.
Layer edited(Layer layer, std::mt19937_64& dice, unsigned person) {
  const auto edits = 1 + dice() % 3;
  for (std::uint64_t k = 0; k < edits; ++k) {
    std::vector<MarkPtr> marks = layer.marks.all();
    const MarkPtr chosen = marks.empty() ? MarkPtr{} : marks[dice() % marks.size()];
    const auto what = dice() % 12;
    const unsigned value = static_cast<unsigned>(dice() % 5);
    if (!chosen || what == 0) {
      layer = with_mark(layer, part_numbered(100 + person * 10 + value, ("Q" + std::to_string(value)).c_str()));
    } else if (what == 1) {
      layer.marks = layer.marks.without(chosen->id);
    } else if (what == 2) {
      layer.board.revision = std::string(1, static_cast<char>('A' + value));
    } else {
      Mark mark = *chosen;
      if (what == 3) mark.at = {double(value) * 9, double(person) * 9};
      if (what == 4) mark.refdes = "U" + std::to_string(value);
      if (what == 5) mark.value = std::to_string(value) + "k";
      if (what == 6) mark.accept.push_back("N" + std::to_string(value));
      if (what == 7 && !mark.accept.empty()) mark.accept.erase(mark.accept.begin());
      if (what == 8 && !mark.limits.empty()) mark.limits[0].high = value + 5;
      if (what == 9) {
        Note note;
        note.id = numbered_id(500 + person * 100 + static_cast<unsigned>(dice() % 100));
        note.text = "seen";
        if (std::none_of(mark.notes.begin(), mark.notes.end(), [&](const Note& n) { return n.id == note.id; })) mark.notes.push_back(note);
      }
      if (what == 10) mark.changed_at.ms = static_cast<std::int64_t>(1000 * dice() % 9);
      if (what == 11) mark.refuse = {"Z" + std::to_string(value)};
      layer = with_mark(layer, mark);
    }
  }
  return layer;
}

Layer join(const Layer& base, const Layer& ours, const Layer& theirs, std::size_t& disputes) {
  Result<MergedLayer> merged = merge_layers(base, ours, theirs);
  REQUIRE_MESSAGE(merged, to_text(merged.problem()));
  disputes += merged->disputes.size();
  return merged->layer;
}

}  // namespace

TEST_CASE("over 100,000 random histories: no side is first, merging again changes nothing, three people in any order") {
  std::mt19937_64 dice(20261125);
  std::size_t disputed = 0, three_ways = 0, wrong_order = 0, wrong_again = 0, wrong_triples = 0;
  const char* fewer = std::getenv("BOARDLORE_HISTORIES");
  const int histories = fewer != nullptr ? std::atoi(fewer) : 100'000;
  for (int history = 0; history < histories; ++history) {
    const Layer base = edited(small_layer(), dice, 0);
    const Layer a = edited(base, dice, 1), b = edited(base, dice, 2), c = edited(base, dice, 3);
    std::size_t disputes = 0, ignored = 0;
    const Layer ab = join(base, a, b, disputes);
    wrong_order += ab == join(base, b, a, ignored) ? 0U : 1U;
    const auto again = history % 4;  // one of them each time, for speed
    const bool same = again == 0   ? ab == join(base, ab, ab, ignored) && a == join(base, a, a, ignored)
                      : again == 1 ? a == join(base, base, a, ignored)
                      : again == 2 ? ab == join(base, ab, b, ignored)
                                   : ab == join(base, a, ab, ignored);
    wrong_again += same ? 0U : 1U;
    disputed += disputes != 0;
    const Layer ab_c = join(base, ab, c, disputes), a_bc = join(base, a, join(base, b, c, disputes), disputes);
    if (disputes != 0) continue;
    ++three_ways;
    wrong_triples += ab_c == a_bc ? 0U : 1U;
  }
  std::printf("  %d histories, %zu with disputes, %zu of three people without; wrong: %zu order, %zu again, %zu triples\n", histories,
              disputed, three_ways, wrong_order, wrong_again, wrong_triples);
  CHECK(wrong_order == 0);
  CHECK(wrong_again == 0);
  CHECK(wrong_triples == 0);
  CHECK(disputed > static_cast<std::size_t>(histories) / 20);
  CHECK(three_ways > static_cast<std::size_t>(histories) / 20);
}
