// The shop's memory beside the frame: boards, jobs and marks found as typed, and what usually fails on a board.
//
// SQLite and the disk are waited for on other threads; a frame asks and draws the last answer there is. One question
// is under way at a time and the newest words win, so fast typing costs no queue.
#pragma once

#include <filesystem>
#include <mutex>
#include <optional>

#include "bench/tasks.h"
#include "storage/shop_index.h"

namespace boardlore {

struct ShopFound {
  std::string words;      // what was asked
  std::vector<Hit> hits;  // boards first, then jobs, then marks, each best first
  std::string trouble;
};

struct ShopFaults {
  UsualFaults own, shared;
  std::vector<std::string> symptoms;  // the board's list, then those in use
};

class ShopSearch {
 public:
  explicit ShopSearch(std::filesystem::path library);
  // Brings the index up to date with the library; nothing where that is under way.
  void refresh();
  // Once a frame: takes in what came back. True: something new is there to draw.
  bool take_answers();

  // The answer to these words or, until it is there, to those before them.
  const ShopFound& found(const std::string& words);
  // nullptr: not worked out yet. Asked anew where the layer, the shop's number (Shop::counts_as), the
  // symptom or the index changed.
  const ShopFaults* faults(const std::shared_ptr<const Layer>& layer, const Id& own_shop, const std::string& symptom);

  bool working() const { return asking_ || refreshing_ || counting_; }
  std::optional<double> reading() const;  // how far a refresh is, 0 to 1

 private:
  struct Opened {
    std::mutex mutex;
    std::optional<ShopIndex> index;
  };
  std::filesystem::path library_;
  std::shared_ptr<Opened> opened_ = std::make_shared<Opened>();
  std::uint64_t generation_ = 0;  // rises with every refresh that is done

  Task<ShopFound> ask_;
  bool asking_ = false;
  std::uint64_t asked_generation_ = 0;
  ShopFound found_;

  Task<int> refresh_;
  bool refreshing_ = false;

  Task<ShopFaults> count_;
  bool counting_ = false;
  std::shared_ptr<const Layer> counted_layer_;
  Id counted_shop_;
  std::string counted_symptom_;
  std::uint64_t counted_generation_ = 0;
  std::optional<ShopFaults> faults_;
};

}  // namespace boardlore
