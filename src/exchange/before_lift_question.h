// What the before-lift check and the clearance list need of a folder: errors from its registered photos, and how
// sharp each photo shows the part. Decodes photos, so the window asks this off the frame.
#pragma once

#include "judging/before_lift.h"
#include "storage/folder.h"

namespace boardlore {

// The smallest error that any registered photo of the folder gives at a point; 0 where none is registered (the marks
// then come from a table or a drawing).
std::function<double(BoardPoint)> registration_error_of(const Folder& folder);
std::function<double(BoardPoint)> registration_error_of(const std::vector<const Photo*>& photos);
bool has_registered_photo(const Folder& folder);

ClearanceQuestion clearance_question(const Folder& folder, double nozzle_diameter_mm);

// How sharp each candidate shows the part; `path_of` may give an empty path. For the window, which has no Folder at
// hand; `stopped` is asked between photos.
std::map<Id, double> measure_focus(const std::vector<OrientationCandidate>& candidates, const std::function<std::filesystem::path(const OrientationCandidate&)>& path_of,
                                   const std::function<bool()>& stopped = {});

// For a job folder. Photos are measured best first until one meets the thresholds, five at most; one that cannot be
// decoded is left unmeasured, and the check then says so.
BeforeLiftQuestion before_lift_question(const Folder& folder, const Mark& part, double nozzle_diameter_mm);

}  // namespace boardlore
