#include "bench/shop_search.h"

#include <algorithm>

namespace boardlore {

ShopSearch::ShopSearch(std::filesystem::path library) : library_(std::move(library)) {}

void ShopSearch::refresh() {
  std::error_code error;
  if (refreshing_ || !std::filesystem::is_directory(library_, error)) return;
  refreshing_ = true;
  // Its own connection: questions are answered while it writes.
  refresh_ = Task<int>::start([library = library_](const TaskReins& reins) {
    Result<ShopIndex> index = ShopIndex::open(ShopIndex::usual_place());
    if (!index) return 0;
    (void)index->update({library}, [&](std::size_t done, std::size_t all) {
      *reins.progress = all == 0 ? 1 : static_cast<double>(done) / static_cast<double>(all);
      return !reins.stop.stop_requested();
    });
    return 1;
  });
}

std::optional<double> ShopSearch::reading() const {
  if (!refreshing_) return std::nullopt;
  return refresh_.progress();
}

bool ShopSearch::take_answers() {
  bool news = false;
  if (refresh_.take()) refreshing_ = false, ++generation_, news = true;
  if (auto answer = ask_.take()) found_ = std::move(*answer), asking_ = false, news = true;
  if (auto answer = count_.take()) faults_ = std::move(*answer), counting_ = false, news = true;
  return news;
}

const ShopFound& ShopSearch::found(const std::string& words) {
  if (asking_ || (found_.words == words && asked_generation_ == generation_)) return found_;
  if (words.empty()) {
    found_ = ShopFound{};
    return found_;
  }
  asking_ = true;
  asked_generation_ = generation_;
  ask_ = Task<ShopFound>::start([opened = opened_, words](const TaskReins&) {
    const std::lock_guard lock(opened->mutex);
    ShopFound found;
    found.words = words;
    if (!opened->index) {
      Result<ShopIndex> index = ShopIndex::open(ShopIndex::usual_place());
      if (!index) {
        found.trouble = to_text(index.problem());
        return found;
      }
      opened->index.emplace(std::move(*index));
    }
    Result<std::vector<Hit>> hits = opened->index->find(FindQuery{words, "", "", std::nullopt, 100});
    if (hits) found.hits = std::move(*hits);
    else found.trouble = to_text(hits.problem());
    std::stable_sort(found.hits.begin(), found.hits.end(), [](const Hit& a, const Hit& b) { return a.kind < b.kind; });
    return found;
  });
  return found_;
}

const ShopFaults* ShopSearch::faults(const std::shared_ptr<const Layer>& layer, const Id& own_shop, const std::string& symptom) {
  const bool same = counted_layer_ && layer && counted_layer_->id == layer->id && counted_layer_->settings == layer->settings &&
                    counted_layer_->faults == layer->faults && counted_layer_->symptoms == layer->symptoms && counted_shop_ == own_shop && counted_symptom_ == symptom && counted_generation_ == generation_;
  if (layer && !same && !counting_) {
    if (!counted_layer_ || counted_layer_->id != layer->id) faults_.reset();
    counting_ = true;
    counted_layer_ = layer, counted_shop_ = own_shop, counted_symptom_ = symptom, counted_generation_ = generation_;
    count_ = Task<ShopFaults>::start([opened = opened_, layer, own_shop, symptom](const TaskReins&) {
      const std::lock_guard lock(opened->mutex);
      ShopFaults faults;
      faults.symptoms = layer->settings.symptoms;
      faults.shared = shared_faults(*layer, symptom, own_shop);
      if (!opened->index)
        if (Result<ShopIndex> index = ShopIndex::open(ShopIndex::usual_place())) opened->index.emplace(std::move(*index));
      if (!opened->index) return faults;
      if (const Result<std::vector<PastJob>> jobs = opened->index->past_jobs(layer->id)) faults.own = usual_faults(*jobs, symptom);
      if (Result<std::vector<std::string>> used = opened->index->symptoms(layer->id))
        faults.symptoms.insert(faults.symptoms.end(), used->begin(), used->end());
      return faults;
    });
  }
  return faults_ ? &*faults_ : nullptr;
}

}  // namespace boardlore
