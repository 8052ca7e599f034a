// Ids and times as the files hold them.
//
// Ids are UUIDs (RFC 9562, version 7): they sort by when they were made and need no authority. Times are
// RFC 3339. Both are passed in: nothing below the commands asks a clock, so every run can be repeated.
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>

namespace boardlore {

// Lower-case, 8-4-4-4-12. Compares as text, which is the order of making.
struct Id {
  std::string text;
  bool operator==(const Id&) const = default;
  auto operator<=>(const Id&) const = default;
  bool empty() const { return text.empty(); }
};

// An id that follows from 32 hexadecimal digits of a hash, the same of the same: UUID version 8 (RFC 9562, section 5.8).
Id id_from_hash(std::string_view hex);

// Any version is read; anything not of the form is nullopt. Upper case is lowered.
std::optional<Id> parse_id(std::string_view text);

// Milliseconds since 1970-01-01T00:00:00Z.
struct Timestamp {
  std::int64_t ms = 0;
  bool operator==(const Timestamp&) const = default;
  auto operator<=>(const Timestamp&) const = default;
};

// RFC 3339 in UTC: "2026-03-04T10:20:30Z", with milliseconds only where there are any.
std::string to_rfc3339(Timestamp time);
// Accepts any offset and fraction (kept to the millisecond); a leap second reads as the next second.
std::optional<Timestamp> parse_rfc3339(std::string_view text);

// Makes version 7 ids that rise within one source. The same seed and time give the same ids.
class IdSource {
 public:
  IdSource(std::uint64_t seed_high, std::uint64_t seed_low) : state_{seed_high, seed_low} {}
  Id next(Timestamp now);

 private:
  std::uint64_t random();
  std::uint64_t state_[2];
  std::int64_t last_ms_ = -1;
  std::uint32_t counter_ = 0;
};

using Clock = std::function<Timestamp()>;

// Members of a document that this version does not know: name -> its JSON text, kept as it was.
using Unknown = std::map<std::string, std::string>;

}  // namespace boardlore

template <>
struct std::hash<boardlore::Id> {
  std::size_t operator()(const boardlore::Id& id) const noexcept { return std::hash<std::string>{}(id.text); }
};
