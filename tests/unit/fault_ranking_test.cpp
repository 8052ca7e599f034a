#include "judging/fault_ranking.h"

#include <doctest/doctest.h>

#include <cstdio>
#include <functional>

using namespace boardlore;

namespace {

const Id ours{"019b8bd7-6800-7000-8000-00000000000a"}, theirs{"019b8bd7-6800-7000-8000-00000000000b"};

// Not the one the program uses; all that is asked of it is that the same words give the same.
Id of_words(const std::string& words) {
  char hex[33];
  std::snprintf(hex, sizeof hex, "%032zx", std::hash<std::string>{}(words));
  return id_from_hash(hex);
}

PastJob job(const char* symptom, bool fixed, std::vector<Cure> cures, const char* month) { return {symptom, fixed, std::move(cures), month}; }

}  // namespace

TEST_CASE("nine of ten stands above one of one, and few jobs are called few") {
  std::vector<PastJob> jobs;
  for (int i = 0; i < 9; ++i) jobs.push_back(job("dead", true, {{"U3", "replaced"}}, "2026-01"));
  jobs.push_back(job("Dead.", true, {{"R7", "replaced"}}, "2026-02"));
  jobs.push_back(job("dead", false, {{"U9", "reflowed"}}, "2026-03"));
  jobs.push_back(job("noisy", true, {{"C1", "replaced"}}, "2026-04"));
  const UsualFaults ranked = usual_faults(jobs, "DEAD");
  CHECK(ranked.jobs == 11);
  CHECK(ranked.fixed_jobs == 10);
  CHECK_FALSE(ranked.few());
  REQUIRE(ranked.faults.size() == 2);
  CHECK(ranked.faults[0].cure == Cure{"U3", "replaced"});
  CHECK(ranked.faults[0].cured == 9);
  // Source: reference facts 9.4, 9/10.
  CHECK(ranked.faults[0].interval.low == doctest::Approx(0.5958499732));
  CHECK(ranked.faults[1].last_month == "2026-02");
  CHECK(usual_faults(jobs, "noisy").few());
  CHECK(usual_faults(jobs, "").fixed_jobs == 11);
  CHECK(usual_faults(jobs, "smokes").faults.empty());
}

TEST_CASE("a job teaches its cures once each, and steps on the way are no cures") {
  Job done;
  done.reported = "does not switch on, says the owner";
  done.symptom = "dead";
  done.opened_at = *parse_rfc3339("2026-02-27T09:00:00Z");
  for (const char* what : {"inspected", "lifted", "replaced", "replaced"}) {
    Action action;
    action.refdes = "U3", action.what = what;
    done.actions.push_back(action);
  }
  CHECK_FALSE(past_job(done).fixed);
  HandBack back;
  back.outcome = "fixed";
  back.at = *parse_rfc3339("2026-03-04T10:20:30Z");
  done.hand_back = back;
  const PastJob past = past_job(done);
  CHECK(past.fixed);
  CHECK(past.symptom == "dead");
  CHECK(past.month == "2026-03");
  CHECK(past.cures == std::vector<Cure>{{"U3", "replaced"}});
}

TEST_CASE("symptoms are suggested as typed, each once") {
  const std::vector<std::string> known{"no power", "no display", "dead", "Power cuts out", "No Power."};
  CHECK(suggest_symptoms(known, "no p") == std::vector<std::string>{"no power"});
  CHECK(suggest_symptoms(known, "pow") == std::vector<std::string>{"Power cuts out", "no power"});
  CHECK(suggest_symptoms(known, "display no") == std::vector<std::string>{"no display"});
  CHECK(suggest_symptoms(known, "").size() == 4);
  CHECK(suggest_symptoms(known, "x").empty());
}

TEST_CASE("a layer takes counts only, for listed symptoms, and they come back as shared") {
  Layer layer;
  layer.settings.symptoms = {"dead"};
  const std::vector<PastJob> jobs{job("dead", true, {{"U3", "replaced"}}, "2026-03"), job("Dead", false, {}, "2026-04"),
                                  job("dead", true, {{"U3", "replaced"}}, "2026-05"), job("smoke, as Mr Example says", true, {{"R1", "replaced"}}, "2026-05")};
  const Layer out = with_fault_counts(layer, jobs, ours, of_words);
  REQUIRE(out.faults.size() == 1);
  CHECK(out.faults[0].cured == 2);
  CHECK(out.faults[0].last_month == "2026-05");
  REQUIRE(out.symptoms.size() == 1);
  CHECK(out.symptoms[0].jobs == 3);
  const UsualFaults shared = shared_faults(out, "dead", theirs);
  REQUIRE(shared.faults.size() == 1);
  CHECK(shared.faults[0].cured == 2);
  CHECK(shared.faults[0].fixed_jobs == 3);
  // Free words stay in the shop.
  const Layer worded = with_fault_counts(layer, {job("dead", true, {{"U3", "replaced for Mr Example"}}, "2026-03")}, ours, of_words);
  CHECK(worded.faults[0].cure == "other work");
  // A stranger's counts may be anything.
  Layer wild = out;
  wild.faults[0].cured = -5;
  wild.symptoms[0].jobs = 2147483647;
  CHECK(shared_faults(wild, "dead", theirs).faults[0].interval.low == 0);
}

TEST_CASE("counts that come back are not taken for another shop's, and a second export replaces the first") {
  Layer layer;
  layer.settings.symptoms = {"dead"};
  const std::vector<PastJob> three(3, job("dead", true, {{"U3", "replaced"}}, "2026-03"));
  const Layer first = with_fault_counts(layer, three, ours, of_words);
  CHECK(shared_faults(first, "dead", ours).jobs == 0);
  CHECK(shared_faults(first, "dead", ours).faults.empty());
  CHECK(shared_faults(first, "dead", theirs).jobs == 3);
  // A shop without a number knows no counts for its own.
  CHECK(shared_faults(first, "dead", Id{}).jobs == 3);

  // The other shop adds what it knows; there and here each sees the other's alone.
  const std::vector<PastJob> two(2, job("Dead", true, {{"U3", "replaced"}}, "2026-04"));
  const Layer both = with_fault_counts(first, two, theirs, of_words);
  CHECK(both.faults.size() == 2);
  CHECK(shared_faults(both, "dead", ours).faults.at(0).cured == 2);
  CHECK(shared_faults(both, "dead", theirs).faults.at(0).cured == 3);
  CHECK(shared_faults(both, "dead", Id{}).faults.at(0).cured == 5);

  // To and fro once more changes nothing, and a new job of ours counts once.
  CHECK(with_fault_counts(both, two, theirs, of_words).symptoms == both.symptoms);
  std::vector<PastJob> four = three;
  four.push_back(three.front());
  const Layer later = with_fault_counts(both, four, ours, of_words);
  CHECK(shared_faults(later, "dead", theirs).faults.at(0).cured == 4);
  CHECK(shared_faults(later, "dead", theirs).jobs == 4);
  CHECK(shared_faults(later, "dead", ours).faults.at(0).cured == 2);
  // The same count keeps its id, so that versions of a layer merge count by count.
  const auto ours_in = [](const Layer& of) {
    return std::find_if(of.faults.begin(), of.faults.end(), [](const FaultCount& count) { return count.counted_by == ours; })->id;
  };
  CHECK(ours_in(first) == ours_in(later));
}
