#include "bench/file_uri.h"

namespace boardlore {
namespace {

constexpr std::string_view hex_digits = "0123456789ABCDEF";

bool is_unreserved(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '.' || c == '_' || c == '~';
}

int hex_digit(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  return -1;
}

}  // namespace

std::string percent_encoded_path(std::string_view path) {
  std::string out;
  for (const char c : path) {
    const auto byte = static_cast<unsigned char>(c);
    if (is_unreserved(c) || c == '/') out += c;
    else (out += '%') += hex_digits[byte >> 4U], out += hex_digits[byte & 15U];
  }
  return out;
}

std::optional<std::string> percent_decoded(std::string_view text) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] != '%') {
      out += text[i];
      continue;
    }
    if (i + 2 >= text.size()) return std::nullopt;
    const int high = hex_digit(text[i + 1]), low = hex_digit(text[i + 2]);
    if (high < 0 || low < 0 || high + low == 0) return std::nullopt;
    out += static_cast<char>(16 * high + low);
    i += 2;
  }
  return out;
}

std::string file_uri(const std::filesystem::path& path) {
  std::error_code error;
  const std::filesystem::path whole = std::filesystem::absolute(path, error);
  return "file://" + percent_encoded_path((error ? path : whole).string());
}

std::string uri_list(const std::vector<std::filesystem::path>& files) {
  std::string list;
  for (const auto& file : files) list += file_uri(file) + "\r\n";
  return list;
}

}  // namespace boardlore
