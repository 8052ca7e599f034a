// Pictures made ready for the eye: the board seen square-on from one photo, all photos of a side joined into one,
// and where a photo is sharp. They are looked at like photos and marked like photos, but belong to no document: the
// files lie in the user's cache and are made anew where the photo or its registration changed.
#pragma once

#include <memory>
#include <vector>

#include "alignment/mosaic.h"
#include "bench/desk.h"
#include "bench/tasks.h"

namespace boardlore {

class PictureMaker {
 public:
  // Words: why not. Empty: under way, or there already (then it is in the next news).
  std::string square_on(const DeskView& desk, const Id& photo);
  std::string join(const DeskView& desk, Side side);
  std::string see_sharpness(const DeskView& desk, const Id& photo);

  void stop() { task_.stop(); }
  void forget();

  struct News {
    Id show;              // the picture to bring into view; empty: none
    bool sharpness = false;
    std::string trouble;  // both empty: stopped
  };
  std::optional<News> take();
  bool working() const { return task_.running() || under_way_; }
  double progress() const { return task_.progress(); }
  const std::string& doing() const { return doing_; }

  // The desk with the pictures that still hold behind its photos. The same object while nothing changed.
  DeskViewPtr with_made(const DeskViewPtr& desk);

  struct Sharpness {
    Id photo;
    std::shared_ptr<const Raster> tint;  // a pixel a cell, the less sharp the less transparent
    int cell_px = 0, columns = 0, rows = 0;
  };
  // nullptr: not worked out for this photo.
  const Sharpness* sharpness_of(const Id& photo) const { return sharpness_ && sharpness_->photo == photo ? &*sharpness_ : nullptr; }

 private:
  struct Source {
    Id photo;
    std::string sha256;
    Registration registration;
    bool operator==(const Source&) const = default;
  };
  struct Picture {
    DeskPhoto entry;
    std::vector<Source> sources;  // as they were when it was made
    bool joined = false;
  };
  struct Outcome {
    std::optional<Picture> picture;
    std::optional<Sharpness> sharpness;
    std::string trouble;
  };
  std::string begin(const DeskView& desk, std::vector<const DeskPhoto*> photos, Side side, bool joined);
  static bool holds(const Picture& picture, const DeskView& desk);

  bool under_way_ = false;
  std::string doing_;
  Task<Outcome> task_;
  std::optional<News> ready_;
  std::vector<Picture> pictures_;
  std::uint64_t changes_ = 0, shown_changes_ = 0;
  DeskViewPtr under_, shown_;
  std::optional<Sharpness> sharpness_;
};

}  // namespace boardlore
