#include "bench/derived.h"

#include "bench/stage_line.h"
#include "bench/worklist.h"
#include "editing/mark_rules.h"

namespace boardlore {

void Derived::refresh(const DeskView& desk) {
  if (layer_ == desk.snapshot.layer) return;
  layer_ = desk.snapshot.layer;
  duplicates_.clear();
  if (!layer_) {
    shapes_[0] = shapes_[1] = {};
    maps_.clear();
    return;
  }
  shapes_[0] = shapes_of(layer_->marks, Side::top, shapes_[0]);
  shapes_[1] = shapes_of(layer_->marks, Side::bottom, shapes_[1]);
  for (const Id& id : duplicate_designators(*layer_)) duplicates_[id] = true;
}

const std::vector<WorklistRow>& Derived::worklist(const DeskView& desk, Stage stage, const std::string& filter) {
  Source source{desk.snapshot.layer, desk.snapshot.job, compared_, stage, filter};
  if (source != worklist_of_) {
    worklist_ = worklist_rows(desk, stage, filter);
    if (compared_) bring_findings_forward(worklist_, *compared_);
    worklist_of_ = std::move(source);
  }
  return worklist_;
}

const StageRows& Derived::stages(const DeskView& desk) {
  Source source{desk.snapshot.layer, desk.snapshot.job, nullptr, Stage::intake, {}};
  if (source != stages_of_) {
    stages_ = stage_rows(desk);
    stages_of_ = std::move(source);
  }
  return stages_;
}

void Derived::show_instead(const Id& photo, std::optional<Registration> registration, std::optional<Side> side) {
  instead_of_ = photo;
  instead_side_ = side;
  instead_ = std::move(registration);
}

const std::vector<NetPoint>& Derived::net_points(const std::string& net) {
  if (net != net_ || net_layer_ != layer_) {
    net_ = net, net_layer_ = layer_;
    net_points_ = layer_ ? points_of_net(*layer_, net) : std::vector<NetPoint>{};
  }
  return net_points_;
}

const PhotoMap* Derived::map_of(const Photo& photo) {
  const std::optional<Registration>& registration = photo.id == instead_of_ ? instead_ : photo.registration;
  if (!registration) return nullptr;
  const auto it = maps_.find(photo.id);
  if (it != maps_.end() && it->second.registration == *registration)
    return it->second.map ? &*it->second.map : nullptr;
  KeptMap kept{*registration, std::nullopt};
  if (auto map = PhotoMap::from(*registration)) kept.map = std::move(*map);
  KeptMap& place = maps_.insert_or_assign(photo.id, std::move(kept)).first->second;
  return place.map ? &*place.map : nullptr;
}

}  // namespace boardlore
