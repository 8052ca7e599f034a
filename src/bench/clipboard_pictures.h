// Pictures out of the desktop's clipboard: files copied in a file manager, or a picture copied in a viewer.
//
// SDL2 hands over text only, which is enough for paths and file addresses. A picture's own bytes are asked for
// through X11 (ICCCM section 2, with its INCR transfers for large ones) over a connection of its own, so that it
// can wait beside the frame. Without an X server - plain Wayland - paths and addresses still work.
#pragma once

#include <filesystem>
#include <stop_token>
#include <string>
#include <vector>

namespace boardlore {

struct ClipboardPictures {
  std::vector<std::filesystem::path> files;
  std::string picture;  // bytes of one picture; empty: none
  std::string ending;   // ".png", ".jpg", ".bmp"
  bool asked_text = false;  // text was looked through for files too, or there is an owner that has none
};

// Files named by `text`: absolute paths or file: addresses (RFC 8089), a line each, as in text/uri-list (RFC 2483).
// Empty where any line is something else, or names no file that is there.
std::vector<std::filesystem::path> files_named_in(const std::string& text);

// What another program offers as files or as a picture. Waits at most some seconds for it. Asked for before the text is:
// a program that was asked for text it has not may send the picture as text, and answers nothing else meanwhile.
ClipboardPictures read_clipboard_pictures(const std::stop_token& stop = {});

}  // namespace boardlore
