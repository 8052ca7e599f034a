// The shop's own packages, step lists and number: shop.json in the folder that holds the boards.
//
// It stands beside the boards, so that a shared folder of boards brings it along. Written as every document is: looked
// at and replaced under the folder's lock, in one rename, so that two people who keep something in the same moment
// both keep it. A shop without the file has nothing of its own.
#pragma once

#include <filesystem>
#include <functional>

#include "domain/problem.h"
#include "domain/shop.h"

namespace boardlore {

// Empty where the board's folder was not found; then there is nothing to load and nothing to change.
std::filesystem::path shop_file_beside(const std::filesystem::path& board_dir);
Result<Shop> load_shop(const std::filesystem::path& file);
// `change` works on what the file holds now; where it refuses, nothing is written.
Result<Shop> change_shop(const std::filesystem::path& file, const std::function<Result<Done>(Shop&)>& change);

// The number under which the shop's counts of cures go out (Shop::counts_as); given by `new_id` and kept where there is
// none yet.
Result<Id> shop_counts_as(const std::filesystem::path& file, const std::function<Id()>& new_id);

// The changes themselves. A package or list of the same name takes the old one's place.
Result<Done> keep_package(Shop& shop, Package package);
Result<Done> drop_package(Shop& shop, const std::string& name);
Result<Done> keep_step_list(Shop& shop, StepList list);
Result<Done> drop_step_list(Shop& shop, const std::string& key);

}  // namespace boardlore
