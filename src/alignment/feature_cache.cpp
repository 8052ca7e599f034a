#include "alignment/feature_cache.h"

#include <unistd.h>

#include <cmath>
#include <cstring>
#include <fstream>

namespace boardlore {
namespace {

// Raised whenever find_features changes what it finds.
constexpr std::uint32_t cache_version = 1;
constexpr std::uint32_t magic = 0x46424C31;  // also tells a machine of other byte order: it passes over
constexpr std::size_t most_features = 100000;

struct Head {
  std::uint32_t magic_number = magic, version = cache_version;
  std::int32_t width_px = 0, height_px = 0, searched_px = 0;
  std::uint32_t count = 0;
  std::uint64_t checksum = 0;
};

std::uint64_t checksum_of(const std::string& bytes) {  // FNV-1a, 64 bit
  std::uint64_t hash = 14695981039346656037ULL;
  for (const char c : bytes) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
  return hash;
}

std::optional<std::filesystem::path> cache_path(const std::filesystem::path& folder, const std::string& sha256,
                                                int searched_px) {
  // The hash becomes a file name: nothing but the digits of one.
  if (folder.empty() || sha256.size() != 64 || sha256.find_first_not_of("0123456789abcdef") != std::string::npos)
    return std::nullopt;
  return folder / (sha256 + "-" + std::to_string(searched_px) + ".features");
}

}  // namespace

std::optional<FeatureSet> cached_features(const std::filesystem::path& folder, const std::string& sha256,
                                          int searched_px) {
  const auto path = cache_path(folder, sha256, searched_px);
  if (!path) return std::nullopt;
  std::ifstream in(*path, std::ios::binary);
  Head head;
  if (!in.read(reinterpret_cast<char*>(&head), sizeof head)) return std::nullopt;
  if (head.magic_number != magic || head.version != cache_version || head.count > most_features) return std::nullopt;
  std::string body(head.count * (4 * sizeof(float) + 128 * sizeof(std::int16_t)), '\0');
  if (!in.read(body.data(), static_cast<std::streamsize>(body.size())) || in.get() != EOF) return std::nullopt;
  if (checksum_of(body) != head.checksum) return std::nullopt;
  FeatureSet set;
  set.width_px = head.width_px;
  set.height_px = head.height_px;
  set.searched_px = head.searched_px;
  set.features.resize(head.count);
  set.descriptors.resize(128 * std::size_t{head.count});
  const char* from = body.data();
  for (Feature& feature : set.features) {
    float values[4];
    std::memcpy(values, from, sizeof values);
    from += sizeof values;
    for (const float value : values)
      if (!std::isfinite(value)) return std::nullopt;
    feature = {PhotoPoint{values[0], values[1]}, values[2], values[3]};
  }
  std::memcpy(set.descriptors.data(), from, set.descriptors.size() * sizeof(std::int16_t));
  return set;
}

void cache_features(const std::filesystem::path& folder, const std::string& sha256, int searched_px,
                    const FeatureSet& set) {
  const auto path = cache_path(folder, sha256, searched_px);
  if (!path || set.features.size() > most_features) return;
  std::error_code ignored;
  std::filesystem::create_directories(folder, ignored);
  std::string body;
  body.reserve(set.features.size() * 300);
  for (const Feature& feature : set.features) {
    const float values[4] = {static_cast<float>(feature.at.x_px), static_cast<float>(feature.at.y_px), feature.size_px,
                             feature.angle_rad};
    body.append(reinterpret_cast<const char*>(values), sizeof values);
  }
  body.append(reinterpret_cast<const char*>(set.descriptors.data()), set.descriptors.size() * sizeof(std::int16_t));
  Head head;
  head.width_px = set.width_px;
  head.height_px = set.height_px;
  head.searched_px = set.searched_px;
  head.count = static_cast<std::uint32_t>(set.features.size());
  head.checksum = checksum_of(body);
  // Beside and renamed: two windows may write the same file at once.
  const std::filesystem::path beside = path->string() + "." + std::to_string(::getpid());
  bool written = false;
  {
    std::ofstream out(beside, std::ios::binary);
    out.write(reinterpret_cast<const char*>(&head), sizeof head);
    out.write(body.data(), static_cast<std::streamsize>(body.size()));
    written = static_cast<bool>(out.flush());
  }
  if (written) std::filesystem::rename(beside, *path, ignored);
  if (!written || ignored) std::filesystem::remove(beside, ignored);
}

}  // namespace boardlore
