#include "bench/clipboard_pictures.h"

#include <algorithm>
#include <optional>

#include "bench/file_uri.h"
#include "bench/x11_selection.h"

namespace boardlore {
namespace {

std::optional<std::filesystem::path> file_of(std::string_view line) {
  std::optional<std::string> name;
  if (line.starts_with("file:")) {
    line.remove_prefix(5);
    if (line.starts_with("//")) {
      line.remove_prefix(2);
      if (line.starts_with("localhost/")) line.remove_prefix(9);
    }
    name = percent_decoded(line);
  } else {
    name = std::string(line);
  }
  if (!name || !name->starts_with("/") || name->find('\0') != std::string::npos) return std::nullopt;
  std::error_code error;
  std::filesystem::path path(*name);
  if (!std::filesystem::is_regular_file(path, error)) return std::nullopt;
  return path;
}

}  // namespace

std::vector<std::filesystem::path> files_named_in(const std::string& text) {
  constexpr std::size_t most_files = 500;
  std::vector<std::filesystem::path> files;
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t end = std::min(text.find('\n', from), text.size());
    std::string_view line(text.data() + from, end - from);
    from = end + 1;
    while (!line.empty() && (line.back() == '\r' || line.back() == ' ' || line.back() == '\0')) line.remove_suffix(1);
    if (line.empty() || line.front() == '#') continue;
    const std::optional<std::filesystem::path> file = file_of(line);
    if (!file || files.size() >= most_files) return {};
    files.push_back(*file);
  }
  return files;
}

ClipboardPictures read_clipboard_pictures(const std::stop_token& stop) {
  ClipboardPictures found;
  const std::vector<std::string> kinds = clipboard_kinds({"text/uri-list", "image/jpeg", "image/png", "image/bmp", "UTF8_STRING"}, stop);
  const auto has = [&](const char* kind) { return std::find(kinds.begin(), kinds.end(), kind) != kinds.end(); };
  if (has("text/uri-list"))
    if (const auto list = clipboard_bytes("text/uri-list", stop)) found.files = files_named_in(*list);
  if (!found.files.empty()) return found;
  // Asked for here and not in a frame: whoever holds the clipboard may be slow.
  if (has("UTF8_STRING"))
    if (const auto text = clipboard_bytes("UTF8_STRING", stop)) found.files = files_named_in(*text);
  found.asked_text = !kinds.empty();
  if (!found.files.empty()) return found;
  for (const auto& [kind, ending] : {std::pair{"image/jpeg", ".jpg"}, std::pair{"image/png", ".png"}, std::pair{"image/bmp", ".bmp"}}) {
    if (!has(kind)) continue;
    if (auto bytes = clipboard_bytes(kind, stop); bytes && !bytes->empty()) {
      found.picture = *std::move(bytes);
      found.ending = ending;
      return found;
    }
  }
  return found;
}

}  // namespace boardlore
