// Before and after, compared beside the frame.
#pragma once

#include "bench/compared.h"
#include "bench/desk.h"
#include "bench/tasks.h"

namespace boardlore {

class PhotoComparer {
 public:
  // Both registered, of one side; else nothing is begun and the words say why.
  std::string compare(const DeskView& desk, const Id& before, const Id& after);
  void stop() { task_.stop(); }
  void forget();

  struct News {
    ComparedPtr compared;  // nullptr: see `trouble`; both empty: stopped
    std::string trouble;
  };
  std::optional<News> take();
  bool working() const { return task_.running() || under_way_; }
  double progress() const { return task_.progress(); }

 private:
  bool under_way_ = false;
  Task<Result<ComparedPtr>> task_;
};

// One that was kept in the job, as it is shown; its difference picture is not kept. nullptr: its photos are gone.
ComparedPtr compared_from(const KeptComparison& kept, const DeskView& desk);

// The pair to compare: the job's photos in the panes where they are of one side and registered; else, of the side in
// view, the last registered photo from before the work (else from intake) and the last from after it, or the first and the
// last. Empty: none.
struct ComparedPair {
  Id before, after;
};
ComparedPair likely_pair(const DeskView& desk, const Id& first_pane, const Id& second_pane);

}  // namespace boardlore
