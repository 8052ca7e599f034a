#include "storage/write_members.h"

namespace boardlore::storage {

// Minimal escapes, as RFC 8785 has them: two-letter forms where JSON has them, \u00xx for other controls.
void Writer::write(const std::string& text) {
  static constexpr char hex[] = "0123456789abcdef";
  out_ += '"';
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    switch (c) {
      case '"': out_ += "\\\""; break;
      case '\\': out_ += "\\\\"; break;
      case '\b': out_ += "\\b"; break;
      case '\f': out_ += "\\f"; break;
      case '\n': out_ += "\\n"; break;
      case '\r': out_ += "\\r"; break;
      case '\t': out_ += "\\t"; break;
      default:
        if (byte < 0x20) {
          out_ += "\\u00";
          out_ += hex[byte >> 4U];
          out_ += hex[byte & 15U];
        } else {
          out_ += c;
        }
    }
  }
  out_ += '"';
}

}  // namespace boardlore::storage
