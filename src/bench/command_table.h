// Every key of the window in one table: what binds it, what it is called, what it does. The shortcut
// overview is drawn from the same rows, so it cannot be out of date.
#pragma once

#include <SDL_scancode.h>

#include <span>
#include <string>

namespace boardlore {

enum class Command {
  undo, redo, save, export_layer, sharing, search, entry_line, home, help, theme,
  select_tool, part_tool, package_tool, pin1_here, keepout_tool, circle_tool, probe_tool, note_tool, register_photo,
  tick_step, tick_step_with_photo,
  photo_sheet, stage_earlier, stage_later, link_photo, turn_photo, crop_photo,
  turn_mark, turn_mark_back, copy, paste, rename, remove, select_all, next_mark, previous_mark,
  nudge_left, nudge_right, nudge_up, nudge_down, nudge_left_far, nudge_right_far, nudge_up_far, nudge_down_far,
  fit_photo, zoom_in, zoom_out, full_size, turn_view, turn_view_back, other_side, next_photo, previous_photo, loupe,
  labels, readings_table, two_photos, wipe, blink, blink_rate, difference, square_on, read_print, join_photos, sharpness,
  fold_worklist, fold_card, fold_roll, fold_all, cancel, accept
};

// Written as shown: group, key, words.
struct CommandRow {
  Command command;
  SDL_Scancode key;
  bool ctrl, shift;
  const char* group;
  const char* words;
  bool while_typing = false;  // also when a text field has the keyboard
};

std::span<const CommandRow> command_table();
const CommandRow& row_of(Command command);
// "Ctrl+Shift+Z", "F2", "→"
std::string key_words(const CommandRow& row);
std::string key_words(Command command);

// Whether the command's key went down in this frame.
bool pressed(Command command);

}  // namespace boardlore
