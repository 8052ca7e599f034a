// What another program offers in the X11 clipboard, and one of its kinds as bytes (ICCCM 2.0, section 2).
#pragma once

#include <optional>
#include <stop_token>
#include <string>
#include <vector>

namespace boardlore {

// Those of `wanted` ("text/uri-list", "image/png", ...) that are offered; empty: no X server, or nobody owns the clipboard.
std::vector<std::string> clipboard_kinds(const std::vector<std::string>& wanted, const std::stop_token& stop);
// nullopt: not offered, took longer than some seconds, larger than a photo is, or stopped.
std::optional<std::string> clipboard_bytes(const std::string& kind, const std::stop_token& stop);

// The X window that holds the clipboard; 0: none, or no X server. Asks the server and never the owner, so it takes no time:
// whether it is still who it was tells whether anything was copied elsewhere since.
unsigned long clipboard_owner();

}  // namespace boardlore
