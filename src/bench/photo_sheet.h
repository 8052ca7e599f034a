// What is said of one photo of the job: its stage, a note, the mark it shows, and how the record shows it
// (turned, cut to what is in view). The file itself is never touched.
#pragma once

#include "bench/scene.h"

namespace boardlore {

// The part of the photo that a pane shows, as Photo::crop_px; nullopt: all of it or nothing.
std::optional<std::array<double, 4>> crop_of_view(const Photo& photo, const Camera& camera, ImVec2 pane_size);

// The popup of a photo in the roll; call right after the photo's item, every frame. Opens on a right click, or by a
// key for the photo in view (`open`, above `item_min`).
void draw_photo_sheet(const Scene& scene, BenchState& state, const Photo& photo, bool open, ImVec2 item_min);
// The keys that do the same to the photo in view.
void use_photo_keys(const Scene& scene, BenchState& state);

// "intake", "before", "during", "after"
const char* stage_name(PhotoStage stage);
inline constexpr PhotoStage photo_stages[] = {PhotoStage::intake, PhotoStage::before, PhotoStage::during, PhotoStage::after};
// An edit, unless it is in that stage already.
void put_in_stage(const Scene& scene, const Photo& photo, PhotoStage stage);

// The same for a board's reference photo: a region covered before it is shared.
void draw_reference_sheet(const Scene& scene, const Photo& photo);

// Of the intake sheet: a camera's folder to watch, or that one is watched.
void draw_watch_rows(const Scene& scene, BenchState& state);

}  // namespace boardlore
