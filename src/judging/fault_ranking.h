// Usual faults: which part or action cured a symptom on this board model, from past jobs.
//
// Three cures in three jobs is not "always". Each share comes with the Wilson score interval (Wilson 1927;
// better than the plain share's for few jobs and for shares near 0 or 1: Brown, Cai, DasGupta 2001), and
// the list is ranked by its lower end, so that one lucky job does not stand above nine of ten.
// References from memory; check values in reference facts 9.4.
#pragma once

#include <functional>

#include "domain/job.h"

namespace boardlore {

struct ShareInterval {
  double low = 0, high = 1;  // within [0, 1]
};

constexpr double z_95 = 1.959963984540054;  // two-sided 95 % of the normal distribution

// Of no jobs: 0 to 1. `hits` is taken within [0, jobs].
ShareInterval wilson_interval(int hits, int jobs, double z = z_95);

struct Cure {
  std::string refdes, what;  // designator may be empty: an action on a mark without one
  auto operator<=>(const Cure&) const = default;
};

// What a past job taught.
struct PastJob {
  std::string symptom;      // of the shop's list, or as typed where it was not grouped
  bool fixed = false;       // handed back as "fixed"
  std::vector<Cure> cures;  // each once; a job with several does not say which of them it was
  std::string month;        // "2026-03"; of the hand-back, else of the opening
};
PastJob past_job(const Job& job);
// False for steps on the way: lifted, inspected, measured and kin.
bool is_cure(std::string_view what);

struct UsualFault {
  Cure cure;
  int cured = 0;            // fixed jobs that had this action
  int fixed_jobs = 0;       // fixed jobs with the symptom: the share is of these
  ShareInterval interval;   // 95 %
  std::string last_month;
};

// Below this a share says little however it looks. Common practice, no source.
constexpr int few_jobs = 5;

struct UsualFaults {
  std::vector<UsualFault> faults;  // by the interval's lower end, then count, then how recent, then name
  int jobs = 0;                    // with this symptom, however they ended
  int fixed_jobs = 0;
  bool few() const { return fixed_jobs < few_jobs; }
};

// The shop's own jobs on the board. An empty symptom takes all.
UsualFaults usual_faults(const std::vector<PastJob>& jobs, std::string_view symptom);
// What other shops' layers say: counts only, kept apart from the shop's own, which come back in layers of others under
// the number the shop gave itself (Shop::counts_as; empty: it gave none yet).
UsualFaults shared_faults(const Layer& layer, std::string_view symptom, const Id& own_shop);

// Same words, whatever the case, blanks and punctuation: "No  power." is "no power".
bool same_symptom(std::string_view one, std::string_view other);
// The symptoms of the shop's list and of its jobs that fit what is typed so far: those starting with it,
// then those with a word starting with it, then those with all its words. Each once, as the list spells it.
std::vector<std::string> suggest_symptoms(const std::vector<std::string>& known, std::string_view typed);

// The layer as it is exported: what this shop's jobs taught, as counts in the place of those it gave before; others' stay.
// `id_for` makes an id of what a count is about, always the same of the same words.
Layer with_fault_counts(Layer layer, const std::vector<PastJob>& jobs, const Id& own_shop, const std::function<Id(const std::string&)>& id_for);

}  // namespace boardlore
