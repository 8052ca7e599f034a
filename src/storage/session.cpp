#include "storage/session.h"

#include <charconv>
#include <chrono>
#include <cstdlib>
#include <random>

#include "storage/file_bytes.h"

namespace boardlore {

Session make_session(std::string_view what_is_done) {
  Session session;
  if (const char* name = std::getenv("BOARDLORE_TECHNICIAN")) session.technician = name;
  if (const char* epoch = std::getenv("SOURCE_DATE_EPOCH")) {
    std::int64_t seconds = 0;
    const std::string_view text = epoch;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), seconds);
    if (error == std::errc{} && end == text.data() + text.size()) {
      session.clock = [seconds] { return Timestamp{seconds * 1000}; };
      const std::string seed = sha256_hex(what_is_done);
      session.ids = std::make_shared<IdSource>(std::stoull(seed.substr(0, 16), nullptr, 16) | 1U,
                                               std::stoull(seed.substr(16, 16), nullptr, 16) | 1U);
      return session;
    }
  }
  session.clock = [] {
    const auto now = std::chrono::system_clock::now().time_since_epoch();
    return Timestamp{std::chrono::duration_cast<std::chrono::milliseconds>(now).count()};
  };
  std::random_device device;
  const auto word = [&] { return (static_cast<std::uint64_t>(device()) << 32U | device()) | 1U; };
  const std::uint64_t high = word(), low = word();
  session.ids = std::make_shared<IdSource>(high, low);
  return session;
}

}  // namespace boardlore
