// Every key of the window in one table: what binds it, what it is called, what it does. The shortcut
// overview is drawn from the same rows, so it cannot be out of date. A person's own keys (key_bindings.h) replace those of
// the table before the first frame.
#pragma once

#include <SDL_scancode.h>

#include <span>
#include <string>
#include <vector>

namespace boardlore {

enum class Command {
  undo, redo, save, export_layer, sharing, search, entry_line, home, choose_files, help, theme,
  select_tool, part_tool, package_tool, pin1_here, keepout_tool, circle_tool, probe_tool, note_tool, register_photo,
  tick_step, tick_step_with_photo,
  photo_sheet, stage_earlier, stage_later, link_photo, turn_photo, crop_photo,
  turn_mark, turn_mark_back, copy, paste, rename, remove, select_all, next_mark, previous_mark,
  nudge_left, nudge_right, nudge_up, nudge_down, nudge_left_far, nudge_right_far, nudge_up_far, nudge_down_far,
  fit_photo, zoom_in, zoom_out, full_size, turn_view, turn_view_back, other_side, next_photo, previous_photo, loupe,
  labels, readings_table, two_photos, wipe, blink, blink_rate, difference, square_on, read_print, join_photos, sharpness,
  ruler, steps_more, steps_less, turn_view_little, turn_view_little_back, mirror_view, next_step, previous_step, take_photo, meter_reading,
  do_anything, settings, high_contrast, big_targets, copy_readings, copy_text, copy_picture, copy_photo_file, copy_record, copy_exported,
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

// As built in, and as they are in use.
std::span<const CommandRow> usual_keys();
std::span<const CommandRow> command_table();
void use_keys_of(std::vector<CommandRow> rows);
// What the command is called in the keys file: "turn-view".
std::string command_name(Command command);
const CommandRow& row_of(Command command);
// "Ctrl+Shift+Z", "F2", "→"
std::string key_words(const CommandRow& row);
std::string key_words(Command command);

// Whether the command's key went down in this frame.
bool pressed(Command command);
// As if its key went down in the next frame: from the list of everything that can be done.
void ask_for(Command command);
// Once a frame, before anything asks for keys.
void begin_asking();

}  // namespace boardlore
