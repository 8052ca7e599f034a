#include "bench/command_table.h"

#include <SDL_keyboard.h>
#include <imgui.h>

#include <array>
#include <optional>
#include <utility>

namespace boardlore {
namespace {

constexpr std::array built_in{
    CommandRow{Command::undo, SDL_SCANCODE_Z, true, false, "Document", "Undo"},
    CommandRow{Command::redo, SDL_SCANCODE_Z, true, true, "Document", "Redo"},
    CommandRow{Command::save, SDL_SCANCODE_S, true, false, "Document", "Save now", true},
    CommandRow{Command::export_layer, SDL_SCANCODE_E, true, false, "Document", "Export the layer", true},
    CommandRow{Command::copy_exported, SDL_SCANCODE_E, true, true, "Document", "Copy the exported files"},
    CommandRow{Command::copy_record, SDL_SCANCODE_R, true, true, "Document", "Copy the record's files"},
    CommandRow{Command::sharing, SDL_SCANCODE_H, true, false, "Document", "Shared: disputes, earlier versions", true},
    CommandRow{Command::home, SDL_SCANCODE_O, true, false, "Document", "Boards and jobs", true},
    CommandRow{Command::choose_files, SDL_SCANCODE_O, true, true, "Document", "Choose photos, lists, a bundle", true},
    CommandRow{Command::search, SDL_SCANCODE_F, true, false, "Find", "Search by designator", true},
    CommandRow{Command::entry_line, SDL_SCANCODE_SPACE, false, false, "Find", "Type a reading or note"},
    CommandRow{Command::next_mark, SDL_SCANCODE_N, true, false, "Find", "Next mark in the worklist"},
    CommandRow{Command::previous_mark, SDL_SCANCODE_N, true, true, "Find", "Previous mark"},
    CommandRow{Command::next_step, SDL_SCANCODE_END, false, false, "Find", "Next mark, by one key"},
    CommandRow{Command::previous_step, SDL_SCANCODE_HOME, false, false, "Find", "Previous mark, by one key"},
    CommandRow{Command::do_anything, SDL_SCANCODE_F3, false, false, "Find", "Do anything: type what", true},
    CommandRow{Command::meter_reading, SDL_SCANCODE_F4, false, false, "Find", "The meter's value into the line", true},

    CommandRow{Command::select_tool, SDL_SCANCODE_V, false, false, "Place", "Select and move"},
    CommandRow{Command::part_tool, SDL_SCANCODE_P, false, false, "Place", "Part: three corners"},
    CommandRow{Command::package_tool, SDL_SCANCODE_P, false, true, "Place", "Part: package and two pads"},
    CommandRow{Command::pin1_here, SDL_SCANCODE_1, false, false, "Place", "Pin 1 at the cursor"},
    CommandRow{Command::keepout_tool, SDL_SCANCODE_K, false, false, "Place", "Keep-out: polygon"},
    CommandRow{Command::circle_tool, SDL_SCANCODE_K, false, true, "Place", "Keep-out: circle"},
    CommandRow{Command::probe_tool, SDL_SCANCODE_M, false, false, "Place", "Probe point"},
    CommandRow{Command::note_tool, SDL_SCANCODE_N, false, false, "Place", "Note"},
    CommandRow{Command::take_photo, SDL_SCANCODE_F5, false, false, "Place", "Take a photo with the camera", true},
    CommandRow{Command::register_photo, SDL_SCANCODE_G, false, false, "Place", "Register the photo"},

    CommandRow{Command::tick_step, SDL_SCANCODE_T, false, false, "Marks", "Start the rework, then tick its next step"},
    CommandRow{Command::tick_step_with_photo, SDL_SCANCODE_T, false, true, "Marks", "Tick it with the photo in view"},
    CommandRow{Command::turn_mark, SDL_SCANCODE_R, false, false, "Marks", "Turn by 90°"},
    CommandRow{Command::turn_mark_back, SDL_SCANCODE_R, false, true, "Marks", "Turn back by 90°"},
    CommandRow{Command::copy, SDL_SCANCODE_C, true, false, "Marks", "Copy"},
    CommandRow{Command::paste, SDL_SCANCODE_V, true, false, "Marks", "Paste marks at the cursor, or a picture"},
    CommandRow{Command::copy_text, SDL_SCANCODE_C, true, true, "Marks", "Copy the mark as text"},
    CommandRow{Command::copy_picture, SDL_SCANCODE_P, true, true, "Marks", "Copy the mark's picture"},
    CommandRow{Command::rename, SDL_SCANCODE_F2, false, false, "Marks", "Rename"},
    CommandRow{Command::remove, SDL_SCANCODE_DELETE, false, false, "Marks", "Delete"},
    CommandRow{Command::select_all, SDL_SCANCODE_A, true, false, "Marks", "Select all on this side"},
    CommandRow{Command::nudge_left, SDL_SCANCODE_LEFT, false, false, "Marks", "Nudge 0.1 mm"},
    CommandRow{Command::nudge_right, SDL_SCANCODE_RIGHT, false, false, "Marks", ""},
    CommandRow{Command::nudge_up, SDL_SCANCODE_UP, false, false, "Marks", ""},
    CommandRow{Command::nudge_down, SDL_SCANCODE_DOWN, false, false, "Marks", ""},
    CommandRow{Command::nudge_left_far, SDL_SCANCODE_LEFT, false, true, "Marks", "Nudge 1 mm"},
    CommandRow{Command::nudge_right_far, SDL_SCANCODE_RIGHT, false, true, "Marks", ""},
    CommandRow{Command::nudge_up_far, SDL_SCANCODE_UP, false, true, "Marks", ""},
    CommandRow{Command::nudge_down_far, SDL_SCANCODE_DOWN, false, true, "Marks", ""},
    CommandRow{Command::accept, SDL_SCANCODE_RETURN, false, false, "Marks", "Finish what is being placed"},
    CommandRow{Command::cancel, SDL_SCANCODE_ESCAPE, false, false, "Marks", "Step back, drop the tool", true},

    CommandRow{Command::photo_sheet, SDL_SCANCODE_E, false, false, "Photo in view", "Its sheet; a board's photo: cover a region"},
    CommandRow{Command::stage_later, SDL_SCANCODE_RIGHTBRACKET, false, false, "Photo in view", "To the next stage"},
    CommandRow{Command::stage_earlier, SDL_SCANCODE_LEFTBRACKET, false, false, "Photo in view", "To the stage before"},
    CommandRow{Command::link_photo, SDL_SCANCODE_L, true, false, "Photo in view", "It shows the chosen mark, or not"},
    CommandRow{Command::turn_photo, SDL_SCANCODE_R, true, false, "Photo in view", "Turn it by 90° in the record"},
    CommandRow{Command::crop_photo, SDL_SCANCODE_X, true, true, "Photo in view", "Cut it in the record to what is seen"},
    CommandRow{Command::copy_photo_file, SDL_SCANCODE_F, true, true, "Photo in view", "Copy its file, as it lies there"},

    CommandRow{Command::fit_photo, SDL_SCANCODE_F, false, false, "View", "Whole photo"},
    CommandRow{Command::zoom_in, SDL_SCANCODE_EQUALS, false, false, "View", "Closer"},
    CommandRow{Command::zoom_out, SDL_SCANCODE_MINUS, false, false, "View", "Farther"},
    CommandRow{Command::full_size, SDL_SCANCODE_0, false, false, "View", "One photo pixel a screen pixel"},
    CommandRow{Command::turn_view, SDL_SCANCODE_PERIOD, false, false, "View", "Turn the view right"},
    CommandRow{Command::turn_view_back, SDL_SCANCODE_COMMA, false, false, "View", "Turn the view left"},
    CommandRow{Command::turn_view_little, SDL_SCANCODE_PERIOD, false, true, "View", "A little to the right"},
    CommandRow{Command::turn_view_little_back, SDL_SCANCODE_COMMA, false, true, "View", "A little to the left"},
    CommandRow{Command::mirror_view, SDL_SCANCODE_I, false, true, "View", "Mirror the view"},
    CommandRow{Command::ruler, SDL_SCANCODE_U, false, false, "View", "Ruler: distance, angle, pitch"},
    CommandRow{Command::steps_more, SDL_SCANCODE_U, true, false, "View", "Ruler over one step more"},
    CommandRow{Command::steps_less, SDL_SCANCODE_U, true, true, "View", "Ruler over one step less"},
    CommandRow{Command::other_side, SDL_SCANCODE_TAB, false, false, "View", "Other side of the board"},
    CommandRow{Command::next_photo, SDL_SCANCODE_PAGEDOWN, false, false, "View", "Next photo"},
    CommandRow{Command::previous_photo, SDL_SCANCODE_PAGEUP, false, false, "View", "Previous photo"},
    CommandRow{Command::loupe, SDL_SCANCODE_L, false, false, "View", "Loupe"},
    CommandRow{Command::labels, SDL_SCANCODE_D, false, false, "View", "Designators: some, all, none"},
    CommandRow{Command::copy_readings, SDL_SCANCODE_M, true, true, "View", "Copy the table of readings"},
    CommandRow{Command::readings_table, SDL_SCANCODE_M, false, true, "View", "All readings of the job as a table"},
    CommandRow{Command::two_photos, SDL_SCANCODE_2, false, false, "View", "Two photos side by side"},
    CommandRow{Command::wipe, SDL_SCANCODE_W, false, false, "View", "Wipe between two photos"},
    CommandRow{Command::blink, SDL_SCANCODE_B, false, false, "View", "Blink between two photos"},
    CommandRow{Command::difference, SDL_SCANCODE_X, false, false, "View", "What differs between two photos"},
    CommandRow{Command::blink_rate, SDL_SCANCODE_B, false, true, "View", "Blink slower or faster"},
    CommandRow{Command::square_on, SDL_SCANCODE_Q, false, false, "View", "See the board square-on"},
    CommandRow{Command::join_photos, SDL_SCANCODE_J, false, false, "View", "Join the photos of this side"},
    CommandRow{Command::sharpness, SDL_SCANCODE_S, false, false, "View", "See where the photo is sharp"},

    CommandRow{Command::read_print, SDL_SCANCODE_D, false, true, "Place", "Read designators from the print"},

    CommandRow{Command::fold_worklist, SDL_SCANCODE_F6, false, false, "Panels", "Worklist", true},
    CommandRow{Command::fold_card, SDL_SCANCODE_F7, false, false, "Panels", "Card", true},
    CommandRow{Command::fold_roll, SDL_SCANCODE_F8, false, false, "Panels", "Photo roll", true},
    CommandRow{Command::fold_all, SDL_SCANCODE_F9, false, false, "Panels", "All panels", true},
    CommandRow{Command::theme, SDL_SCANCODE_F10, false, false, "Panels", "Dark, light, high contrast", true},
    CommandRow{Command::high_contrast, SDL_SCANCODE_F10, false, true, "Panels", "High contrast", true},
    CommandRow{Command::big_targets, SDL_SCANCODE_F11, false, true, "Panels", "Big targets", true},
    CommandRow{Command::settings, SDL_SCANCODE_F12, false, false, "Panels", "Settings", true},
    CommandRow{Command::help, SDL_SCANCODE_F1, false, false, "Panels", "This overview", true},
};

// Set once, before the first frame.
std::vector<CommandRow>& rows_in_use() {
  static std::vector<CommandRow> rows(built_in.begin(), built_in.end());
  return rows;
}

// Asked for by name, until the next frame is over.
std::optional<Command> asked_next, asked_now;

}  // namespace

std::span<const CommandRow> usual_keys() { return built_in; }
std::span<const CommandRow> command_table() { return rows_in_use(); }
void use_keys_of(std::vector<CommandRow> rows) { rows_in_use() = std::move(rows); }

void ask_for(Command command) { asked_next = command; }
void begin_asking() { asked_now = std::exchange(asked_next, std::nullopt); }

const CommandRow& row_of(Command command) {
  for (const CommandRow& row : rows_in_use())
    if (row.command == command) return row;
  return rows_in_use()[0];
}

std::string key_words(const CommandRow& row) {
  if (row.key == SDL_SCANCODE_UNKNOWN) return {};
  std::string words;
  if (row.ctrl) words += "Ctrl+";
  if (row.shift) words += "Shift+";
  switch (row.key) {
    case SDL_SCANCODE_LEFT: return words + "←";
    case SDL_SCANCODE_RIGHT: return words + "→";
    case SDL_SCANCODE_UP: return words + "↑";
    case SDL_SCANCODE_DOWN: return words + "↓";
    case SDL_SCANCODE_EQUALS: return words + "+";
    case SDL_SCANCODE_RETURN: return words + "Enter";
    case SDL_SCANCODE_ESCAPE: return words + "Esc";
    case SDL_SCANCODE_DELETE: return words + "Del";
    case SDL_SCANCODE_PAGEDOWN: return words + "Page Down";
    case SDL_SCANCODE_PAGEUP: return words + "Page Up";
    default: return words + SDL_GetScancodeName(row.key);
  }
}

std::string key_words(Command command) { return key_words(row_of(command)); }

bool pressed(Command command) {
  const ImGuiIO& io = ImGui::GetIO();
  if (asked_now == command) return true;
  const CommandRow& row = row_of(command);
  if (row.key == SDL_SCANCODE_UNKNOWN) return false;
  if (io.WantTextInput && !row.while_typing) return false;
  if (io.KeyCtrl != row.ctrl || io.KeyAlt) return false;
  // On many layouts + sits behind Shift or on the keypad; there both do.
  const bool loose_shift = row.key == SDL_SCANCODE_EQUALS;
  if (io.KeyShift != row.shift && !loose_shift) return false;
  if (ImGui::IsKeyPressed(row.key, false)) return true;
  if (row.command == Command::zoom_in) return ImGui::IsKeyPressed(SDL_SCANCODE_KP_PLUS, false);
  if (row.command == Command::zoom_out) return ImGui::IsKeyPressed(SDL_SCANCODE_KP_MINUS, false);
  if (row.command == Command::accept) return ImGui::IsKeyPressed(SDL_SCANCODE_KP_ENTER, false);
  if (row.command == Command::remove) return ImGui::IsKeyPressed(SDL_SCANCODE_BACKSPACE, false);
  return false;
}

}  // namespace boardlore
