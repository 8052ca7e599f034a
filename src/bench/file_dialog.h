// Files chosen in the desktop's own dialog, where the desktop has one.
//
// Asked for over the session bus as the XDG Desktop Portal specifies (org.freedesktop.portal.FileChooser, version 1; the
// answer comes as a signal of an org.freedesktop.portal.Request), so the dialog is the one its user knows from elsewhere.
#pragma once

#include <filesystem>
#include <stop_token>
#include <string>
#include <vector>

#include "domain/problem.h"

namespace boardlore {

// Waits until files are chosen; call it beside the frame. Empty: closed without a choice, or stopped (which closes the
// dialog). `parent`: the asking window as the portal writes it ("x11:2a00007"), or empty. Problem: no dialog here.
Result<std::vector<std::filesystem::path>> files_from_dialog(const std::string& title, const std::string& parent, const std::stop_token& stop);

}  // namespace boardlore
