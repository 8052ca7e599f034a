// A new photo finds its own place on the board.
//
// Dropping today's photo should be enough for the marks to land on it, and a wrong place presented as good
// is the worst that can happen. So the place is found three times, each time by other evidence: features of
// the reduced photo that agree in one map, textured patches at full size that fit the map of the board's
// plane to a fraction of a pixel, and the picture as a whole, which must fit here clearly better than
// shifted elsewhere on the board. Where one of them is in doubt the answer is a refusal that says why.
// The technician still looks at the overlay: an aid, not the last word.
#pragma once

#include <filesystem>
#include <functional>
#include <stop_token>
#include <variant>
#include <vector>

#include "domain/problem.h"
#include "domain/registration.h"
#include "pictures/progress.h"
#include "pictures/raster.h"

namespace boardlore {

// A photo whose place on the board is known: a reference photo, or an earlier registered photo of the job.
struct RegisteredPhoto {
  std::string name;                       // told as `onto`
  std::string sha256;                     // of its file: key of the feature cache; empty: not cached
  Side side = Side::top;
  Registration registration;
  std::function<Result<Raster>()> load;   // called only when its pixels are needed; on the calling thread
};

struct AutoRequest {
  const Raster* photo = nullptr;
  std::vector<RegisteredPhoto> onto;      // of both sides
  std::optional<double> board_width_mm, board_height_mm;
  std::optional<Side> wanted_side;        // nullopt: whichever it shows
  std::filesystem::path feature_cache;    // folder for derived features (feature_cache.h); empty: none
};

struct AutoReport {
  Registration registration;              // automatic, with some of the found points as fiducials to correct by
  Side side = Side::top;
  std::string onto;
  int inliers = 0;                        // patches that fit the map
  int tried = 0;                          // patches that both photos show
  double coverage = 0;                    // share of the board with such a patch, 0 to 1
  double rms_mm = 0;
  std::optional<double> leave_out_mm;     // at places kept out of the fit
  double confidence = 0;                  // 0 to 1; never below `least_confidence`
  double lens_k1 = 0;                     // 0: no lens term
};

enum class RefusalReason {
  no_reference,     // nothing to register onto
  too_blurred,
  too_little_seen,
  wrong_board,      // nothing of it is found again
  wrong_side,       // it shows the other side than wanted
  mirror_image,     // it fits only mirrored: a screenshot or a scan through the back
  ambiguous,        // it fits in more than one place
  not_sure,         // a place was found, the evidence is too weak
  not_readable,     // no reference photo could be read
  stopped
};
// Written by --json: "wrong-board".
std::string_view refusal_name(RefusalReason reason);

struct AutoRefusal {
  RefusalReason reason = RefusalReason::not_sure;
  std::string words;      // for a person: what was found, what to try
  int inliers = 0;        // of the best attempt
  double confidence = 0;  // of the best attempt
};

using AutoOutcome = std::variant<AutoReport, AutoRefusal>;

// Below this a place is not presented. Chosen on the pairings of tests/benchmarks/registration.cpp.
inline constexpr double least_confidence = 0.5;

// Repeats exactly: the same photos give the same answer. A stop comes back as a refusal within about a
// second and leaves nothing behind.
AutoOutcome register_automatically(const AutoRequest& request, const std::stop_token& stop = {},
                                   const ProgressFn& progress = {});

}  // namespace boardlore
