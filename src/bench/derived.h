// What is worked out of the document for drawing, kept for as long as its inputs are the same objects.
#pragma once

#include <map>
#include <optional>

#include "bench/compared.h"
#include "bench/desk.h"
#include "bench/rows.h"
#include "geometry/net_points.h"
#include "geometry/photo_map.h"
#include "overlay/board_shapes.h"

namespace boardlore {

class Derived {
 public:
  // Once a frame, before anything else is asked.
  void refresh(const DeskView& desk);
  const BoardShapes& shapes(Side side) const { return shapes_[side == Side::bottom]; }
  // nullptr: not registered, or not to be turned into a map.
  const PhotoMap* map_of(const Photo& photo);
  // While a photo is being registered the overlay shows this fit (or none) instead of the document's.
  // `side`: where the fit says so, another side than the document's.
  void show_instead(const Id& photo, std::optional<Registration> registration, std::optional<Side> side = {});
  Side side_of(const Photo& photo) const { return photo.id == instead_of_ && instead_side_ ? *instead_side_ : photo.side; }
  // Before and after, once they were compared: what was found comes first in the worklist.
  void use(ComparedPtr compared) { compared_ = std::move(compared); }
  const ComparedPtr& compared() const { return compared_; }
  // Ids of marks whose designator is on the board twice.
  bool is_duplicate(const Id& mark) const { return duplicates_.contains(mark); }

  // The worklist and the stages' open points; sorting 20,000 marks anew every frame would be most of it.
  const std::vector<WorklistRow>& worklist(const DeskView& desk, Stage stage, const std::string& filter);
  const StageRows& stages(const DeskView& desk);
  // Points of the net that is lit.
  const std::vector<NetPoint>& net_points(const std::string& net);

 private:
  // Compared by identity: a snapshot's parts never change, and holding them keeps their addresses taken.
  struct Source {
    std::shared_ptr<const Layer> layer;
    std::shared_ptr<const Job> job;
    ComparedPtr compared;
    Stage stage = Stage::intake;
    std::string filter;
    bool operator==(const Source&) const = default;
  };
  struct KeptMap {
    Registration registration;
    std::optional<PhotoMap> map;
  };
  std::shared_ptr<const Layer> layer_;
  BoardShapes shapes_[2];
  std::map<Id, bool> duplicates_;
  std::map<Id, KeptMap> maps_;
  Source worklist_of_, stages_of_;
  std::vector<WorklistRow> worklist_;
  StageRows stages_;
  std::string net_;
  std::shared_ptr<const Layer> net_layer_;
  std::vector<NetPoint> net_points_;
  Id instead_of_;
  std::optional<Registration> instead_;
  std::optional<Side> instead_side_;
  ComparedPtr compared_;
};

}  // namespace boardlore
