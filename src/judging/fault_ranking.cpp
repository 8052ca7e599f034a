#include "judging/fault_ranking.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <set>

namespace boardlore {
namespace {

std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> words(1);
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte >= 0x80 || std::isalnum(byte)) words.back() += static_cast<char>(byte < 0x80 ? std::tolower(byte) : byte);
    else if (!words.back().empty()) words.emplace_back();
  }
  if (words.back().empty()) words.pop_back();
  return words;
}

std::string month_of(Timestamp time) { return to_rfc3339(time).substr(0, 7); }

void rank(UsualFaults& ranked) {
  for (UsualFault& fault : ranked.faults) {
    fault.fixed_jobs = std::max(ranked.fixed_jobs, fault.cured);
    fault.interval = wilson_interval(fault.cured, fault.fixed_jobs);
  }
  std::sort(ranked.faults.begin(), ranked.faults.end(), [](const UsualFault& a, const UsualFault& b) {
    if (a.interval.low != b.interval.low) return a.interval.low > b.interval.low;
    if (a.cured != b.cured) return a.cured > b.cured;
    if (a.last_month != b.last_month) return a.last_month > b.last_month;
    return a.cure < b.cure;
  });
}

void count(UsualFaults& ranked, const Cure& cure, int cured, const std::string& month) {
  auto at = std::find_if(ranked.faults.begin(), ranked.faults.end(), [&](const UsualFault& fault) { return fault.cure == cure; });
  if (at == ranked.faults.end()) at = ranked.faults.insert(at, UsualFault{cure, 0, 0, {}, {}});
  at->cured += cured;
  at->last_month = std::max(at->last_month, month);
}

}  // namespace

bool is_cure(std::string_view what) {
  for (const char* step : {"lifted", "inspected", "measured", "removed", "photographed", "checked", "tested"})
    if (what == step) return false;
  return !what.empty();
}

ShareInterval wilson_interval(int hits, int jobs, double z) {
  if (jobs <= 0) return {};
  const double n = jobs, p = std::clamp(hits, 0, jobs) / n, z2 = z * z;
  const double centre = (p + z2 / (2 * n)) / (1 + z2 / n);
  const double half = z / (1 + z2 / n) * std::sqrt(p * (1 - p) / n + z2 / (4 * n * n));
  // At 0 and at n the ends are exactly 0 and 1; rounding would leave 1e-17.
  return {hits <= 0 ? 0 : std::clamp(centre - half, 0.0, 1.0), hits >= jobs ? 1 : std::clamp(centre + half, 0.0, 1.0)};
}

PastJob past_job(const Job& job) {
  PastJob past;
  past.symptom = job.symptom.empty() ? job.reported : job.symptom;
  past.fixed = job.hand_back && job.hand_back->outcome == "fixed";
  past.month = month_of(job.hand_back ? job.hand_back->at : job.opened_at);
  std::set<Cure> once;
  for (const Action& action : job.actions)
    if (is_cure(action.what)) once.insert({action.refdes, action.what});
  past.cures.assign(once.begin(), once.end());
  return past;
}

bool same_symptom(std::string_view one, std::string_view other) { return words_of(one) == words_of(other); }

UsualFaults usual_faults(const std::vector<PastJob>& jobs, std::string_view symptom) {
  UsualFaults ranked;
  const std::vector<std::string> wanted = words_of(symptom);
  for (const PastJob& job : jobs) {
    if (!wanted.empty() && words_of(job.symptom) != wanted) continue;
    ++ranked.jobs;
    if (!job.fixed) continue;
    ++ranked.fixed_jobs;
    for (const Cure& cure : job.cures) count(ranked, cure, 1, job.month);
  }
  rank(ranked);
  return ranked;
}

UsualFaults shared_faults(const Layer& layer, std::string_view symptom, const Id& own_shop) {
  UsualFaults ranked;
  const std::vector<std::string> wanted = words_of(symptom);
  // A layer is a stranger's: counts are held to what jobs of a shop can be.
  const auto sane = [](int number) { return std::clamp(number, 0, 10'000'000); };
  const auto own = [&](const auto& counted) { return !own_shop.empty() && counted.counted_by == own_shop; };
  for (const SymptomCount& counted : layer.symptoms)
    if (own(counted)) continue;
    else if (wanted.empty() || words_of(counted.symptom) == wanted) ranked.jobs += sane(counted.jobs);
  for (const FaultCount& counted : layer.faults) {
    if (own(counted) || (!wanted.empty() && words_of(counted.symptom) != wanted)) continue;
    count(ranked, {counted.refdes, counted.cure}, sane(counted.cured), counted.last_month);
  }
  int most = 0;
  for (const UsualFault& fault : ranked.faults) most = std::max(most, fault.cured);
  // Layers count jobs with the symptom, not those of them that were fixed: the share is of all, so it is low
  // rather than high.
  ranked.fixed_jobs = std::max(ranked.jobs, most);
  rank(ranked);
  return ranked;
}

std::vector<std::string> suggest_symptoms(const std::vector<std::string>& known, std::string_view typed) {
  const std::vector<std::string> wanted = words_of(typed);
  std::vector<std::string> groups[3];
  std::set<std::vector<std::string>> seen;
  for (const std::string& symptom : known) {
    const std::vector<std::string> words = words_of(symptom);
    if (words.empty() || !seen.insert(words).second) continue;
    const auto starts = [](const std::string& word, const std::string& with) { return word.compare(0, with.size(), with) == 0; };
    const auto any_starts = [&](const std::string& with) {
      return std::any_of(words.begin(), words.end(), [&](const std::string& word) { return starts(word, with); });
    };
    bool leading = wanted.size() <= words.size();
    for (std::size_t i = 0; leading && i < wanted.size(); ++i)
      leading = i + 1 < wanted.size() ? words[i] == wanted[i] : starts(words[i], wanted[i]);
    if (leading) groups[0].push_back(symptom);
    else if (wanted.size() == 1 && any_starts(wanted[0])) groups[1].push_back(symptom);
    else if (std::all_of(wanted.begin(), wanted.end(), any_starts)) groups[2].push_back(symptom);
  }
  for (int i : {1, 2}) groups[0].insert(groups[0].end(), groups[i].begin(), groups[i].end());
  return groups[0];
}

Layer with_fault_counts(Layer layer, const std::vector<PastJob>& jobs, const Id& own_shop, const std::function<Id(const std::string&)>& id_for) {
  const auto own = [&](const auto& counted) { return counted.counted_by == own_shop; };
  std::erase_if(layer.faults, own);
  std::erase_if(layer.symptoms, own);
  for (const PastJob& job : jobs) {
    // Only symptoms of the shop's list leave the shop: what an owner said in free words may name a person.
    const auto listed = std::find_if(layer.settings.symptoms.begin(), layer.settings.symptoms.end(),
                                     [&](const std::string& symptom) { return same_symptom(symptom, job.symptom); });
    if (listed == layer.settings.symptoms.end()) continue;
    auto symptom = std::find_if(layer.symptoms.begin(), layer.symptoms.end(),
                                [&](const SymptomCount& counted) { return own(counted) && same_symptom(counted.symptom, *listed); });
    if (symptom == layer.symptoms.end())
      symptom = layer.symptoms.insert(symptom, SymptomCount{id_for(own_shop.text + "\n" + *listed), own_shop, *listed, 0});
    ++symptom->jobs;
    if (!job.fixed) continue;
    for (Cure cure : job.cures) {
      // What was done is one word of the trade; a sentence may hold anything, and stays in the shop.
      if (cure.what.size() > 24 || cure.what.find_first_of(" \t\n0123456789@") != std::string::npos) cure.what = "other work";
      auto fault = std::find_if(layer.faults.begin(), layer.faults.end(), [&](const FaultCount& counted) {
        return own(counted) && same_symptom(counted.symptom, *listed) && counted.refdes == cure.refdes && counted.cure == cure.what;
      });
      if (fault == layer.faults.end()) {
        FaultCount counted;
        counted.id = id_for(own_shop.text + "\n" + *listed + "\n" + cure.refdes + "\n" + cure.what);
        counted.counted_by = own_shop;
        counted.symptom = *listed, counted.refdes = cure.refdes, counted.cure = cure.what;
        fault = layer.faults.insert(fault, counted);
      }
      ++fault->cured;
      fault->last_month = std::max(fault->last_month, job.month);
    }
  }
  return layer;
}

}  // namespace boardlore
