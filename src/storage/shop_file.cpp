#include "storage/shop_file.h"

#include <algorithm>

#include "judging/package_table.h"
#include "judging/step_lists.h"
#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "storage/folder_lock.h"

namespace boardlore {
namespace {

constexpr std::size_t largest_file = 16U << 20U;
constexpr std::size_t most_kept = 10000;

std::string names_of(const Shop& shop) {
  std::string names;
  for (const Package& own : shop.packages) names += (names.empty() ? "" : ", ") + own.name;
  return names.empty() ? "none is kept" : names;
}

}  // namespace

std::filesystem::path shop_file_beside(const std::filesystem::path& board_dir) {
  if (board_dir.empty()) return {};
  const std::filesystem::path whole = std::filesystem::absolute(board_dir).lexically_normal();
  return (whole.has_filename() ? whole : whole.parent_path()).parent_path() / "shop.json";
}

Result<Shop> load_shop(const std::filesystem::path& file) {
  std::error_code error;
  if (file.empty() || (!std::filesystem::exists(file, error) && !error)) return Shop{};
  const Result<std::string> text = read_file(file, largest_file);
  if (!text) return text.problem();
  return read_shop(*text, file.string());
}

Result<Shop> change_shop(const std::filesystem::path& file, const std::function<Result<Done>(Shop&)>& change) {
  if (file.empty()) return Problem{"", "/board", "the board's folder", "not found"};
  const Result<FolderLock> lock = FolderLock::take(file.parent_path());
  if (!lock) return lock.problem();
  Result<Shop> shop = load_shop(file);
  if (!shop) return shop.problem();
  const Shop before = *shop;
  if (const Result<Done> done = change(*shop); !done) return done.problem();
  if (*shop == before) return shop;
  if (const Result<Done> written = write_file_atomically(file, write_shop(*shop)); !written) return written.problem();
  return shop;
}

Result<Id> shop_counts_as(const std::filesystem::path& file, const std::function<Id()>& new_id) {
  if (const Result<Shop> shop = load_shop(file); shop && !shop->counts_as.empty()) return shop->counts_as;
  const Result<Shop> shop = change_shop(file, [&](Shop& now) -> Result<Done> {
    if (now.counts_as.empty()) now.counts_as = new_id();
    return Done{};
  });
  if (!shop) return shop.problem();
  return shop->counts_as;
}

Result<Done> keep_package(Shop& shop, Package package) {
  if (auto problem = fault_of_own(package)) return *problem;
  if (package.source.empty()) package.source = "the shop's own";
  if (const Package* own = find_own_package(shop, package.name)) {
    shop.packages[static_cast<std::size_t>(own - shop.packages.data())] = std::move(package);
    return Done{};
  }
  if (shop.packages.size() >= most_kept) return Problem{"", "packages", "at most 10000", "one more"};
  shop.packages.push_back(std::move(package));
  std::sort(shop.packages.begin(), shop.packages.end(), [](const Package& a, const Package& b) { return a.name < b.name; });
  return Done{};
}

Result<Done> drop_package(Shop& shop, const std::string& name) {
  const Package* own = find_own_package(shop, name);
  if (!own) return Problem{"", "package", "one of the shop's own: " + names_of(shop), "\"" + name + "\""};
  shop.packages.erase(shop.packages.begin() + (own - shop.packages.data()));
  return Done{};
}

Result<Done> keep_step_list(Shop& shop, StepList list) {
  if (auto problem = fault_of(list)) return *problem;
  if (list.title.empty()) list.title = list.key;
  const auto there = std::find_if(shop.step_lists.begin(), shop.step_lists.end(), [&](const StepList& one) { return one.key == list.key; });
  if (there != shop.step_lists.end()) {
    list.unknown = there->unknown;
    *there = std::move(list);
    return Done{};
  }
  if (shop.step_lists.size() >= most_kept) return Problem{"", "step_lists", "at most 10000", "one more"};
  shop.step_lists.push_back(std::move(list));
  std::sort(shop.step_lists.begin(), shop.step_lists.end(), [](const StepList& a, const StepList& b) { return a.key < b.key; });
  return Done{};
}

Result<Done> drop_step_list(Shop& shop, const std::string& key) {
  if (std::erase_if(shop.step_lists, [&](const StepList& one) { return one.key == key; }) > 0) return Done{};
  std::string keys;
  for (const StepList& one : shop.step_lists) keys += (keys.empty() ? "" : ", ") + one.key;
  return Problem{"", "step list", "one of the shop's own: " + (keys.empty() ? std::string("none is kept") : keys), "\"" + key + "\""};
}

}  // namespace boardlore
