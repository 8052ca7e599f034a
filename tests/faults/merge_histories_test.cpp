// The laws of the merge, over random histories of three people: it does not matter who is named first, merging
// again changes nothing, without disputes three people may be merged in any order, and no registration is made of halves.
//
// BOARDLORE_HISTORIES=100000 runs as many; without it a tenth, which is enough to be seen broken.
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

Layer with_photos(Layer layer) {
  for (const unsigned n : {50U, 51U}) {
    Photo photo;
    photo.id = numbered_id(n);
    photo.file = "side" + std::to_string(n) + ".jpg";
    photo.width_px = 4000, photo.height_px = 3000;
    layer.photos.push_back(photo);
  }
  return layer;
}

// Every member follows from one number, so that halves of two do not go for a third.
Registration registration_of(unsigned value) {
  Registration registration;
  const double scale = 0.02 + 0.001 * value;
  registration.board_from_photo.rows = {scale, 0, double(value), 0, -scale, 60.0 + value, 0, 0, 1};
  registration.rms_mm = 0.01 * value;
  registration.px_per_mm = 1 / scale;
  if (value % 2 == 0) registration.leave_one_out_mm = 0.02 * value;
  for (unsigned i = 0; i < 3 + value % 2; ++i) registration.fiducials.push_back({{100.0 * i, 50.0 * value}, {2.0 * i, double(value)}, "hole " + std::to_string(i), {}});
  return registration;
}

void edit_a_photo(Layer& layer, std::mt19937_64& dice, unsigned value) {
  if (layer.photos.empty()) return;
  Photo& photo = layer.photos[dice() % layer.photos.size()];
  const auto what = dice() % 6;
  if (what == 0) photo.registration.reset();
  else if (what == 1) photo.note = "light " + std::to_string(value);
  else if (what == 2 && photo.registration) photo.registration->rms_mm = 1 + value;
  else if (what == 3 && photo.registration && photo.registration->fiducials.size() > 1) photo.registration->fiducials.pop_back();
  else photo.registration = registration_of(value);
}

void edit_a_sample(Mark& mark, std::mt19937_64& dice, unsigned person, unsigned value) {
  const auto what = dice() % 4;
  if (mark.samples.empty() || what < 2) {
    Sample sample;
    sample.id = numbered_id(2000 + person * 100 + static_cast<unsigned>(dice() % 100));
    sample.value = 10.0 + value;
    sample.pin = std::to_string(1 + dice() % 2);
    if (std::none_of(mark.samples.begin(), mark.samples.end(), [&](const Sample& s) { return s.id == sample.id; })) mark.samples.push_back(sample);
  } else if (what == 2) {
    mark.samples[dice() % mark.samples.size()].value = 20.0 + value;
  } else {
    mark.samples.erase(mark.samples.begin() + static_cast<std::ptrdiff_t>(dice() % mark.samples.size()));
  }
}

// A few random edits, as one person makes them. `person`: makes ids apart.
Layer edited(Layer layer, std::mt19937_64& dice, unsigned person) {
  const auto edits = 1 + dice() % 3;
  for (std::uint64_t k = 0; k < edits; ++k) {
    std::vector<MarkPtr> marks = layer.marks.all();
    const MarkPtr chosen = marks.empty() ? MarkPtr{} : marks[dice() % marks.size()];
    const auto what = dice() % 16;
    const unsigned value = static_cast<unsigned>(dice() % 5);
    if (!chosen || what == 0) {
      layer = with_mark(layer, part_numbered(100 + person * 10 + value, ("Q" + std::to_string(value)).c_str()));
    } else if (what == 1) {
      layer.marks = layer.marks.without(chosen->id);
    } else if (what == 2) {
      layer.board.revision = std::string(1, static_cast<char>('A' + value));
    } else if (what == 12 || what == 15) {
      edit_a_photo(layer, dice, value);
    } else {
      Mark mark = *chosen;
      if (what == 13 || what == 14) edit_a_sample(mark, dice, person, value);
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

// Of each photo the map one of them made, whole.
bool whole_registrations(const Layer& merged, const Layer& base, const Layer& ours, const Layer& theirs) {
  for (const Photo& photo : merged.photos) {
    bool found = false;
    for (const Layer* side : {&base, &ours, &theirs})
      for (const Photo& one : side->photos) found = found || (one.id == photo.id && one.registration == photo.registration);
    if (!found) return false;
  }
  return true;
}

// What the histories are about must occur in them.
struct Seen {
  std::size_t samples_of_both = 0, registrations_of_both = 0;
};

void look(Seen& seen, const Layer& base, const Layer& a, const Layer& b) {
  bool samples = false, registrations = false;
  base.marks.each([&](const MarkPtr& mark) {
    const MarkPtr one = a.marks.find(mark->id), other = b.marks.find(mark->id);
    samples = samples || (one && other && one->samples != mark->samples && other->samples != mark->samples);
  });
  for (std::size_t i = 0; i < base.photos.size(); ++i)
    registrations = registrations || (a.photos[i].registration != base.photos[i].registration && b.photos[i].registration != base.photos[i].registration);
  seen.samples_of_both += samples ? 1U : 0U;
  seen.registrations_of_both += registrations ? 1U : 0U;
}

}  // namespace

TEST_CASE("over random histories: no side is first, merging again changes nothing, three people in any order") {
  std::mt19937_64 dice(20261125);
  std::size_t disputed = 0, three_ways = 0, wrong_order = 0, wrong_again = 0, wrong_triples = 0, halves = 0;
  Seen seen;
  const char* fewer = std::getenv("BOARDLORE_HISTORIES");
  const int histories = fewer != nullptr ? std::atoi(fewer) : 10'000;
  for (int history = 0; history < histories; ++history) {
    const Layer base = edited(with_photos(small_layer()), dice, 0);
    const Layer a = edited(base, dice, 1), b = edited(base, dice, 2), c = edited(base, dice, 3);
    std::size_t disputes = 0, ignored = 0;
    const Layer ab = join(base, a, b, disputes);
    look(seen, base, a, b);
    halves += whole_registrations(ab, base, a, b) ? 0U : 1U;
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
  std::printf("  %d histories, %zu with disputes, %zu of three people without; both edited samples of one mark in %zu, one registration in %zu;\n"
              "  wrong: %zu order, %zu again, %zu triples, %zu registrations of halves\n",
              histories, disputed, three_ways, seen.samples_of_both, seen.registrations_of_both, wrong_order, wrong_again, wrong_triples, halves);
  CHECK(wrong_order == 0);
  CHECK(wrong_again == 0);
  CHECK(wrong_triples == 0);
  CHECK(halves == 0);
  CHECK(seen.samples_of_both > static_cast<std::size_t>(histories) / 500);
  CHECK(seen.registrations_of_both > static_cast<std::size_t>(histories) / 500);
  CHECK(disputed > static_cast<std::size_t>(histories) / 20);
  CHECK(three_ways > static_cast<std::size_t>(histories) / 20);
}
