// Gathers a job's readings by point and judges each; the rules themselves are in judge.cpp.
#include <algorithm>
#include <map>

#include "domain/layer.h"
#include "judging/designator.h"
#include "judging/judge.h"
#include "values/si_number.h"

namespace boardlore {
namespace {

using Series = std::map<std::tuple<Id, std::string, int, int>, std::vector<Reading>>;

auto key_of(const PointKey& point) {
  // A mark that is gone keeps its points apart by designator.
  return std::tuple(point.mark.empty() ? Id{point.refdes} : point.mark, point.pin, static_cast<int>(point.quantity), static_cast<int>(point.power));
}

std::map<Id, std::vector<Timestamp>> reworks_of(const Job& job) {
  std::map<Id, std::vector<Timestamp>> reworks;
  for (const Action& action : job.actions)
    if (is_rework(action.what)) reworks[action.mark].push_back(action.at);
  for (auto& [mark, times] : reworks) std::sort(times.begin(), times.end());
  return reworks;
}

}  // namespace

PointKey point_of(const Reading& reading) { return {reading.mark, reading.refdes, reading.pin, reading.quantity, reading.conditions.power}; }

bool is_rework(std::string_view action) { return action != "inspected" && action != "cleaned"; }

bool designator_before(std::string_view one, std::string_view other) {
  const auto a = split_designator(one), b = split_designator(other);
  if (!a || !b) return one < other;
  return std::tie(a->letters, a->number, a->suffix) < std::tie(b->letters, b->number, b->suffix);
}

std::string print_reading(const Reading& reading) {
  if (reading.qualifier == Qualifier::overload) return "OL";
  const std::string sign = reading.qualifier == Qualifier::at_least ? "> " : reading.qualifier == Qualifier::at_most ? "< " : "";
  std::string_view typed = reading.typed;
  while (!typed.empty() && (typed[0] == '>' || typed[0] == '<' || typed[0] == '=' || typed[0] == ' ')) typed.remove_prefix(1);
  for (const std::string_view wide : {std::string_view("≥"), std::string_view("≤")})
    if (typed.starts_with(wide)) typed.remove_prefix(wide.size());
  const ParsedNumber parsed = parse_si_number(typed);
  // The typed digits only where they still say the value: a file may have been edited.
  if (const auto* number = std::get_if<SiNumber>(&parsed); number && number->value == reading.value && (!number->unit || *number->unit == unit_of(reading.quantity)))
    return sign + print_si_number(*number, reading.quantity);
  return sign + print_engineering(reading.value, reading.quantity, 6);
}

std::vector<JudgedPoint> judge_job(const Layer& layer, const Job& job, Timestamp now) {
  std::vector<JudgedPoint> points;
  std::map<decltype(key_of(PointKey{})), std::size_t> index;
  const auto at = [&](const PointKey& point) -> JudgedPoint& {
    const auto [place, fresh] = index.emplace(key_of(point), points.size());
    if (fresh) points.push_back({point, {}, {}});
    return points[place->second];
  };
  for (const Reading& reading : job.readings) at(point_of(reading)).readings.push_back(reading);
  layer.marks.each([&](const MarkPtr& mark) {
    for (const Limit& limit : mark->limits) {
      if (limit.pin.empty() && !mark->wanted.empty()) continue;
      const PointKey point{mark->id, mark->refdes, limit.pin, limit.quantity, limit.power.value_or(Power::off)};
      const bool read = std::any_of(job.readings.begin(), job.readings.end(), [&](const Reading& reading) {
        return reading.mark == mark->id && reading.quantity == limit.quantity && (limit.pin.empty() || reading.pin == limit.pin) &&
               (!limit.power || *limit.power == reading.conditions.power);
      });
      if (!read) at(point);
    }
    for (const WantedReading& wanted : mark->wanted) {
      const bool read = std::any_of(job.readings.begin(), job.readings.end(), [&](const Reading& reading) {
        return reading.mark == mark->id && reading.quantity == wanted.quantity && reading.pin == wanted.pin;
      });
      if (!read) at({mark->id, mark->refdes, wanted.pin, wanted.quantity, Power::off});
    }
  });
  const auto reworks = reworks_of(job);
  for (JudgedPoint& point : points) {
    std::stable_sort(point.readings.begin(), point.readings.end(), [](const Reading& a, const Reading& b) { return a.taken_at < b.taken_at; });
    const MarkPtr mark = layer.marks.find(point.point.mark);
    const auto rework = reworks.find(point.point.mark);
    point.judgement = judge_point(mark.get(), layer.settings, point.point, point.readings,
                                  rework == reworks.end() ? std::vector<Timestamp>{} : rework->second, now);
  }
  std::stable_sort(points.begin(), points.end(), [](const JudgedPoint& a, const JudgedPoint& b) {
    if (a.point.refdes != b.point.refdes) return designator_before(a.point.refdes, b.point.refdes);
    return std::tie(a.point.pin, a.point.quantity, a.point.power) < std::tie(b.point.pin, b.point.quantity, b.point.power);
  });
  return points;
}

std::vector<Judgement> judge_readings(const Layer& layer, const Job& job, Timestamp now) {
  std::vector<std::size_t> order(job.readings.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return job.readings[a].taken_at < job.readings[b].taken_at; });
  const auto reworks = reworks_of(job);
  Series series;
  std::vector<Judgement> judged(job.readings.size());
  for (const std::size_t i : order) {
    const PointKey point = point_of(job.readings[i]);
    std::vector<Reading>& so_far = series[key_of(point)];
    so_far.push_back(job.readings[i]);
    const MarkPtr mark = layer.marks.find(point.mark);
    const auto rework = reworks.find(point.mark);
    judged[i] = judge_point(mark.get(), layer.settings, point, so_far, rework == reworks.end() ? std::vector<Timestamp>{} : rework->second, now);
  }
  return judged;
}

std::optional<Judgement> worst_verdict(const Layer& layer, const Job& job, const Id& mark, Timestamp now) {
  const MarkPtr found = layer.marks.find(mark);
  std::map<decltype(key_of(PointKey{})), std::vector<Reading>> series;
  for (const Reading& reading : job.readings)
    if (reading.mark == mark) series[key_of(point_of(reading))].push_back(reading);
  const auto reworks = reworks_of(job);
  const auto rework = reworks.find(mark);
  std::optional<Judgement> worst;
  for (auto& [key, readings] : series) {
    std::stable_sort(readings.begin(), readings.end(), [](const Reading& a, const Reading& b) { return a.taken_at < b.taken_at; });
    Judgement judgement = judge_point(found.get(), layer.settings, point_of(readings.back()), readings,
                                      rework == reworks.end() ? std::vector<Timestamp>{} : rework->second, now);
    if (!worst || judgement.verdict < worst->verdict) worst = std::move(judgement);
  }
  return worst;
}

std::map<Id, Judgement> worst_verdicts(const Layer& layer, const Job& job, Timestamp now) {
  std::map<Id, Judgement> worst;
  for (JudgedPoint& point : judge_job(layer, job, now)) {
    if (point.readings.empty()) continue;
    const auto [place, fresh] = worst.try_emplace(point.point.mark, point.judgement);
    if (!fresh && point.judgement.verdict < place->second.verdict) place->second = std::move(point.judgement);
  }
  return worst;
}

}  // namespace boardlore
