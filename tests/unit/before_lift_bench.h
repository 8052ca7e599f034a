// A part with everything in order for the before-lift check: the tests take one thing away at a time.
#pragma once

#include <doctest/doctest.h>

#include <cstdio>

#include "judging/before_lift.h"

namespace boardlore::before_lift_bench {

constexpr std::int64_t hour_ms = 3600000;
inline const Timestamp opened{1000 * hour_ms};

inline Id id_of(int n) {
  char text[40];
  std::snprintf(text, sizeof text, "00000000-0000-7000-8000-%012d", n);
  return {text};
}

inline Mark part(int n, const char* refdes, BoardPoint at, double size = 4, Side side = Side::top) {
  Mark mark;
  mark.id = id_of(n);
  mark.kind = MarkKind::part;
  mark.refdes = refdes;
  mark.at = at;
  mark.side = side;
  mark.place_error_mm = 0.05;
  mark.outline = {{-size / 2, -size / 2}, {size / 2, -size / 2}, {size / 2, size / 2}, {-size / 2, size / 2}};
  return mark;
}

inline Photo photo(int n, double px_per_mm, Side side = Side::top) {
  Photo p;
  p.id = id_of(n);
  p.file = "photos/" + std::to_string(n) + ".jpg";
  p.side = side;
  p.added_at = Timestamp{opened.ms + hour_ms};
  p.width_px = static_cast<int>(100 * px_per_mm), p.height_px = static_cast<int>(60 * px_per_mm);
  Registration r;
  r.mirrored = side == Side::bottom;
  const double s = 1 / px_per_mm;
  r.board_from_photo = side == Side::top ? BoardFromPhoto{{s, 0, 0, 0, -s, 60, 0, 0, 1}} : BoardFromPhoto{{-s, 0, 100, 0, -s, 60, 0, 0, 1}};
  p.registration = r;
  return p;
}

// U3 with everything in order: the tests take one thing away at a time.
struct Bench {
  Mark u3 = part(3, "U3", {50, 30});
  std::vector<Mark> others{part(14, "C14", {53, 30}, 1)};
  Job job;
  BeforeLiftQuestion question;

  Bench() {
    u3.pin1 = Offset{-1.5, 1.5};
    u3.accept = {"TX-4410*"};
    u3.refuse = {"TX-4410B*"};
    u3.wanted = {{"7", Quantity::resistance}};
    job.opened_at = opened;
    job.photos = {photo(100, 20)};
    Reading reading;
    reading.mark = u3.id, reading.pin = "7", reading.quantity = Quantity::resistance, reading.value = 1000, reading.taken_at = Timestamp{opened.ms + hour_ms};
    job.readings = {reading};
    job.spares = {{id_of(200), u3.id, "TX-4410", "accepted", opened}};
    question.nozzle_diameter_mm = 8;
    question.focus[id_of(100)] = 10 * least_focus;
    question.now = Timestamp{opened.ms + 2 * hour_ms};
    acknowledge("neighbour:" + id_of(14).text, "");
    acknowledge("cautions", "");
  }
  void acknowledge(const std::string& point, const std::string& reason) {
    job.acknowledgements.push_back({id_of(300 + static_cast<int>(job.acknowledgements.size())), u3.id, point, reason, "Mara", opened, {}});
  }
  Layer layer() const {
    Layer l;
    l.board.width_mm = 100, l.board.height_mm = 60;
    std::vector<MarkPtr> marks{std::make_shared<const Mark>(u3)};
    for (const Mark& mark : others) marks.push_back(std::make_shared<const Mark>(mark));
    l.marks = MarkTable(std::move(marks));
    return l;
  }
  BeforeLiftReport check() const {
    const auto report = before_lift(layer(), job, u3.id, question);
    REQUIRE(report);
    return *report;
  }
  CheckPoint at(std::string_view name) const {
    const BeforeLiftReport report = check();
    for (const CheckPoint& point : report.points)
      if (point.point == name) return point;
    FAIL("no point " << name);
    return {};
  }
};

}  // namespace boardlore::before_lift_bench
