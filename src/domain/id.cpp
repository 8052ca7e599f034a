#include "domain/id.h"

#include <chrono>
#include <cstdio>

namespace boardlore {
namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }

unsigned digit_of_hex(char c) { return static_cast<unsigned>(is_digit(c) ? c - '0' : c - 'a' + 10); }

// n digits at `at`, or -1.
int digits(std::string_view text, std::size_t at, std::size_t n) {
  if (at + n > text.size()) return -1;
  int value = 0;
  for (std::size_t i = at; i < at + n; ++i) {
    if (!is_digit(text[i])) return -1;
    value = value * 10 + (text[i] - '0');
  }
  return value;
}

}  // namespace

std::optional<Id> parse_id(std::string_view text) {
  if (text.size() != 36) return std::nullopt;
  std::string lowered(text);
  for (std::size_t i = 0; i < lowered.size(); ++i) {
    char& c = lowered[i];
    const bool dash = i == 8 || i == 13 || i == 18 || i == 23;
    if (c >= 'A' && c <= 'F') c = static_cast<char>(c - 'A' + 'a');
    if (dash ? c != '-' : !(is_digit(c) || (c >= 'a' && c <= 'f'))) return std::nullopt;
  }
  return Id{lowered};
}

Id id_from_hash(std::string_view hex) {
  std::string text(hex.substr(0, 32));
  text.resize(32, '0');
  text[12] = '8';                                        // version
  text[16] = "89ab"[digit_of_hex(text[16]) & 3];          // variant: the two bits 10, then two of the hash
  for (const std::size_t dash : {20, 16, 12, 8}) text.insert(dash, "-");
  return Id{text};
}

std::string to_rfc3339(Timestamp time) {
  using namespace std::chrono;
  const sys_time<milliseconds> at{milliseconds{time.ms}};
  const auto day = floor<days>(at);
  const year_month_day date{day};
  const hh_mm_ss clock{at - day};
  char text[48];
  int n = std::snprintf(text, sizeof text, "%04d-%02u-%02uT%02d:%02d:%02d", int(date.year()), unsigned(date.month()),
                        unsigned(date.day()), int(clock.hours().count()), int(clock.minutes().count()),
                        int(clock.seconds().count()));
  if (const auto ms = clock.subseconds().count(); ms != 0)
    n += std::snprintf(text + n, sizeof text - static_cast<std::size_t>(n), ".%03d", int(ms));
  return std::string(text, static_cast<std::size_t>(n)) + "Z";
}

std::optional<Timestamp> parse_rfc3339(std::string_view text) {
  using namespace std::chrono;
  const int y = digits(text, 0, 4), mo = digits(text, 5, 2), d = digits(text, 8, 2);
  const int h = digits(text, 11, 2), mi = digits(text, 14, 2), s = digits(text, 17, 2);
  if (y < 0 || mo < 0 || d < 0 || h < 0 || mi < 0 || s < 0) return std::nullopt;
  if (text[4] != '-' || text[7] != '-' || (text[10] != 'T' && text[10] != 't' && text[10] != ' ')) return std::nullopt;
  if (text[13] != ':' || text[16] != ':' || h > 23 || mi > 59 || s > 60) return std::nullopt;
  const year_month_day date{year{y}, month{unsigned(mo)}, day{unsigned(d)}};
  if (!date.ok()) return std::nullopt;
  std::size_t at = 19;
  std::int64_t fraction_ms = 0;
  if (at < text.size() && text[at] == '.') {
    std::int64_t weight = 100;
    const std::size_t first = ++at;
    for (; at < text.size() && is_digit(text[at]); ++at, weight /= 10) fraction_ms += (text[at] - '0') * weight;
    if (at == first) return std::nullopt;
  }
  if (at >= text.size()) return std::nullopt;
  std::int64_t offset_min = 0;
  if (text[at] == '+' || text[at] == '-') {
    const int oh = digits(text, at + 1, 2), om = digits(text, at + 4, 2);
    if (oh < 0 || oh > 23 || om < 0 || om > 59 || text[at + 3] != ':') return std::nullopt;
    offset_min = (text[at] == '-' ? -1 : 1) * (oh * 60 + om);
    at += 6;
  } else if (text[at] == 'Z' || text[at] == 'z') {
    ++at;
  } else {
    return std::nullopt;
  }
  if (at != text.size()) return std::nullopt;
  const auto day_ms = duration_cast<milliseconds>(sys_days{date}.time_since_epoch()).count();
  return Timestamp{day_ms + ((h * 60LL + mi - offset_min) * 60 + s) * 1000 + fraction_ms};
}

std::uint64_t IdSource::random() {
  // xorshift128+ (Vigna 2017): enough to keep ids apart, cheap, and repeatable from a seed.
  std::uint64_t a = state_[0];
  const std::uint64_t b = state_[1];
  state_[0] = b;
  a ^= a << 23U;
  state_[1] = a ^ b ^ (a >> 18U) ^ (b >> 5U);
  return state_[1] + b;
}

Id IdSource::next(Timestamp now) {
  // RFC 9562 section 6.2, method 1: a counter in the 12 bits after the version keeps ids of one
  // millisecond in the order they were made; when it is full the time is moved on by one.
  if (now.ms > last_ms_) {
    last_ms_ = now.ms;
    counter_ = static_cast<std::uint32_t>(random() & 0x3FFU);
  } else if (++counter_ > 0xFFFU) {
    ++last_ms_;
    counter_ = 0;
  }
  const std::uint64_t tail = (random() & 0x3FFFFFFFFFFFFFFFULL) | 0x8000000000000000ULL;
  const auto time = static_cast<std::uint64_t>(last_ms_);
  char text[40];
  std::snprintf(text, sizeof text, "%08llx-%04llx-7%03x-%04llx-%012llx", static_cast<unsigned long long>(time >> 16U) & 0xFFFFFFFFULL,
                static_cast<unsigned long long>(time & 0xFFFFU), counter_, static_cast<unsigned long long>(tail >> 48U),
                static_cast<unsigned long long>(tail & 0xFFFFFFFFFFFFULL));
  return Id{text};
}

}  // namespace boardlore
