#include "bench/learn_question.h"

#include "bench/widgets.h"
#include "exchange/learn_from_job.h"

namespace boardlore {

void draw_learn_question(const Scene& scene, BenchState& state) {
  if (!scene.job() || !may_learn(*scene.job()) || state.learning_put_off == scene.job()->id) return;
  text(scene, scene.fonts.strong, scene.theme.text, "What a good unit reads");
  // Closed over open points it may well be no good unit: then nothing here asks to be pressed.
  const bool doubtful = !scene.job()->hand_back->reason.empty();
  if (doubtful) {
    ImGui::PushTextWrapPos(0);
    text(scene, scene.fonts.small, scene.theme.doubtful, std::string(symbol::warning) + "  Closed over open points: keep them only if the unit is known good.");
    ImGui::PopTextWrapPos();
  }
  quiet_wrapped(scene, "Keep this job's final readings as samples of a unit known good? They go into the board's layer, with the day and "
                       "nothing of the owner. Readings out of limits or still moving are left out.");
  if (button(scene, "learn-keep", "Keep them", !doubtful)) {
    scene.intents.push(intent::Work{"learn from the job", [](Folder& folder) -> Result<std::string> {
      const Result<Lessons> lessons = learn_from_job(folder, false, false);
      if (!lessons) return lessons.problem();
      const std::string left = lessons->left_out.empty() ? "" : ", " + std::to_string(lessons->left_out.size()) + " left out";
      return std::to_string(lessons->learnt.size()) + " readings became samples of the board" + left;
    }});
  }
  ImGui::SameLine();
  if (button(scene, "learn-not-now", "Not this time")) state.learning_put_off = scene.job()->id;
  separator(scene);
}

}  // namespace boardlore
