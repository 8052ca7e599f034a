#include "import/import_text.h"

#include <array>
#include <cstdint>

namespace boardlore {
namespace {

void append_utf8(std::string& out, std::uint32_t code) {
  if (code < 0x80) {
    out += static_cast<char>(code);
  } else if (code < 0x800) {
    out += static_cast<char>(0xC0U | (code >> 6U));
    out += static_cast<char>(0x80U | (code & 0x3FU));
  } else if (code < 0x10000) {
    out += static_cast<char>(0xE0U | (code >> 12U));
    out += static_cast<char>(0x80U | ((code >> 6U) & 0x3FU));
    out += static_cast<char>(0x80U | (code & 0x3FU));
  } else {
    out += static_cast<char>(0xF0U | (code >> 18U));
    out += static_cast<char>(0x80U | ((code >> 12U) & 0x3FU));
    out += static_cast<char>(0x80U | ((code >> 6U) & 0x3FU));
    out += static_cast<char>(0x80U | (code & 0x3FU));
  }
}

// A surrogate without its other half becomes U+FFFD, as does half a unit at the end.
std::string from_utf16(std::string_view bytes, bool little_endian) {
  std::string out;
  out.reserve(bytes.size());
  const auto unit = [&](std::size_t i) {
    const auto first = static_cast<unsigned char>(bytes[i]),
               second = static_cast<unsigned char>(bytes[i + 1]);
    return static_cast<std::uint32_t>(little_endian ? first | (second << 8) : (first << 8) | second);
  };
  std::size_t i = 0;
  for (; i + 1 < bytes.size(); i += 2) {
    std::uint32_t code = unit(i);
    if (code >= 0xD800 && code <= 0xDBFF && i + 3 < bytes.size()) {
      const std::uint32_t low = unit(i + 2);
      if (low >= 0xDC00 && low <= 0xDFFF) {
        code = 0x10000 + ((code - 0xD800) << 10U) + (low - 0xDC00);
        i += 2;
      }
    }
    if (code >= 0xD800 && code <= 0xDFFF) code = 0xFFFD;
    append_utf8(out, code);
  }
  if (i < bytes.size()) append_utf8(out, 0xFFFD);
  return out;
}

// Windows-1252, which Latin-1 text reads the same in. Holes of the set become U+FFFD.
std::string from_windows_1252(std::string_view bytes) {
  constexpr std::array<std::uint16_t, 32> high{
      0x20AC, 0xFFFD, 0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021, 0x02C6, 0x2030, 0x0160,
      0x2039, 0x0152, 0xFFFD, 0x017D, 0xFFFD, 0xFFFD, 0x2018, 0x2019, 0x201C, 0x201D, 0x2022,
      0x2013, 0x2014, 0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0xFFFD, 0x017E, 0x0178};
  std::string out;
  out.reserve(bytes.size() + bytes.size() / 8);
  for (const char c : bytes) {
    const auto byte = static_cast<unsigned char>(c);
    append_utf8(out, byte >= 0x80 && byte < 0xA0 ? high[byte - 0x80U] : byte);
  }
  return out;
}

// Nearly every second byte of Latin text in UTF-16 is zero; plain text holds none.
std::string_view unmarked_utf16(std::string_view bytes) {
  const std::string_view start = bytes.substr(0, 4096);
  std::size_t even = 0, odd = 0;
  for (std::size_t i = 0; i < start.size(); ++i)
    if (start[i] == '\0') ++(i % 2 == 0 ? even : odd);
  const std::size_t units = start.size() / 2;
  if (units < 4) return {};
  if (odd * 10 >= units * 8 && even * 10 <= units) return "little";
  if (even * 10 >= units * 8 && odd * 10 <= units) return "big";
  return {};
}

std::string_view known_binary(std::string_view bytes) {
  const auto starts = [&](std::string_view with) { return bytes.substr(0, with.size()) == with; };
  if (starts("PK\x03\x04")) return "a zip archive (a spreadsheet? save it as CSV first)";
  if (starts("\xD0\xCF\x11\xE0")) return "an old office document (save it as CSV first)";
  if (starts("%PDF-")) return "a PDF";
  if (starts("\x89PNG") || starts("\xFF\xD8\xFF")) return "a picture";
  return {};
}

std::string with_line_feeds(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] != '\r') {
      out += text[i];
    } else {
      out += '\n';
      if (i + 1 < text.size() && text[i + 1] == '\n') ++i;
    }
  }
  return out;
}

}  // namespace

bool is_utf8(std::string_view text) {
  for (std::size_t i = 0; i < text.size();) {
    const auto byte = [&](std::size_t k) { return static_cast<unsigned char>(text[k]); };
    const unsigned char first = byte(i);
    std::size_t length = 1;
    if (first >= 0x80) {
      length = first >= 0xF0 ? 4 : first >= 0xE0 ? 3 : 2;
      if (first < 0xC2 || first > 0xF4 || i + length > text.size()) return false;
      for (std::size_t k = 1; k < length; ++k)
        if ((byte(i + k) & 0xC0U) != 0x80U) return false;
      const unsigned char second = byte(i + 1);
      if ((first == 0xE0 && second < 0xA0) || (first == 0xED && second > 0x9F) ||
          (first == 0xF0 && second < 0x90) || (first == 0xF4 && second > 0x8F))
        return false;
    }
    i += length;
  }
  return true;
}

std::string shortened(std::string_view text, std::size_t length) {
  if (text.size() <= length) return std::string(text);
  std::size_t end = length;
  while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) --end;
  return std::string(text.substr(0, end)) + "...";
}

Result<ImportText> decode_import_text(std::string_view bytes, std::string_view file) {
  const auto refuse = [&](std::string expected, std::string found) {
    return Problem{std::string(file), "", std::move(expected), std::move(found), Outcome::bad_input};
  };
  if (bytes.size() > max_import_bytes)
    return refuse("at most " + std::to_string(max_import_bytes >> 20U) + " MiB",
                  std::to_string(bytes.size()) + " bytes");
  if (const std::string_view binary = known_binary(bytes); !binary.empty())
    return refuse("a text table or netlist", std::string(binary));
  ImportText decoded;
  if (bytes.substr(0, 3) == "\xEF\xBB\xBF") {
    bytes.remove_prefix(3);
  } else if (bytes.substr(0, 2) == "\xFF\xFE" || bytes.substr(0, 2) == "\xFE\xFF") {
    const bool little = bytes[0] == '\xFF';
    decoded.text = with_line_feeds(from_utf16(bytes.substr(2), little));
    decoded.remarks.push_back(little ? "text is UTF-16, little-endian" : "text is UTF-16, big-endian");
  } else if (const std::string_view order = unmarked_utf16(bytes); !order.empty()) {
    decoded.text = with_line_feeds(from_utf16(bytes, order == "little"));
    decoded.remarks.push_back("text has no byte order mark; taken as UTF-16, " + std::string(order) +
                              "-endian");
  }
  if (decoded.text.empty() && !bytes.empty()) {
    if (bytes.find('\0') != std::string_view::npos)
      return refuse("a text table or netlist", "a zero byte at byte " + std::to_string(bytes.find('\0')));
    if (is_utf8(bytes)) {
      decoded.text = with_line_feeds(bytes);
    } else {
      decoded.text = with_line_feeds(from_windows_1252(bytes));
      decoded.remarks.push_back("text is not UTF-8; taken as Windows-1252");
    }
  }
  if (decoded.text.find_first_not_of(" \t\n") == std::string::npos)
    return refuse("a table or netlist", "nothing but blanks");
  if (decoded.text.find('\0') != std::string::npos)
    return refuse("a text table or netlist", "zero characters in the text");
  return decoded;
}

}  // namespace boardlore
