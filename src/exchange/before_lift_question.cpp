#include "exchange/before_lift_question.h"

#include <algorithm>
#include <limits>

#include "geometry/photo_map.h"
#include "pictures/photo_file.h"
#include "pictures/sharpness.h"

namespace boardlore {

std::function<double(BoardPoint)> registration_error_of(const Folder& folder) { return registration_error_of(folder.photos()); }

std::function<double(BoardPoint)> registration_error_of(const std::vector<const Photo*>& photos) {
  auto maps = std::make_shared<std::vector<PhotoMap>>();
  for (const Photo* photo : photos)
    if (photo->registration)
      if (auto map = PhotoMap::from(*photo->registration)) maps->push_back(std::move(*map));
  return [maps](BoardPoint at) {
    double least = std::numeric_limits<double>::infinity();
    for (const PhotoMap& map : *maps) least = std::min(least, map.error_mm(at));
    return std::isfinite(least) ? least : 0.0;
  };
}

bool has_registered_photo(const Folder& folder) {
  const auto photos = folder.photos();
  return std::any_of(photos.begin(), photos.end(), [](const Photo* photo) { return photo->registration.has_value(); });
}

ClearanceQuestion clearance_question(const Folder& folder, double nozzle_diameter_mm) {
  ClearanceQuestion question;
  question.nozzle_diameter_mm = nozzle_diameter_mm;
  question.registration_error_mm = registration_error_of(folder);
  question.scale_known = has_registered_photo(folder);
  return question;
}

std::map<Id, double> measure_focus(const std::vector<OrientationCandidate>& candidates, const std::function<std::filesystem::path(const OrientationCandidate&)>& path_of,
                                   const std::function<bool()>& stopped) {
  std::map<Id, double> measured;
  int tried = 0;
  for (const OrientationCandidate& candidate : candidates) {
    if (tried++ == 5 || (stopped && stopped())) break;
    const std::filesystem::path path = path_of(candidate);
    if (path.empty()) continue;
    const auto raster = decode_full(path);
    if (!raster) continue;
    const double focus = focus_measure(*raster, candidate.low, candidate.high, candidate.px_per_mm);
    measured[candidate.photo] = focus;
    if (candidate.whole && candidate.px_per_mm >= least_px_per_mm && candidate.short_side_px >= least_short_side_px && focus >= least_focus) break;
  }
  return measured;
}

BeforeLiftQuestion before_lift_question(const Folder& folder, const Mark& part, double nozzle_diameter_mm) {
  BeforeLiftQuestion question;
  question.nozzle_diameter_mm = nozzle_diameter_mm;
  question.registration_error_mm = registration_error_of(folder);
  question.scale_known = has_registered_photo(folder);
  question.now = folder.session().now();
  if (!folder.is_job()) return question;
  question.focus = measure_focus(orientation_candidates(*folder.now().layer, *folder.now().job, part), [&](const OrientationCandidate& candidate) {
    const Photo* photo = folder.find_photo(candidate.file);
    return photo ? folder.photo_path(*photo) : std::filesystem::path();
  });
  return question;
}

}  // namespace boardlore
