// What the commands are called in the keys file: kept stable, whatever the words beside them become.
#include "bench/command_table.h"

namespace boardlore {

std::string command_name(Command command) {
  switch (command) {
    case Command::undo: return "undo";
    case Command::redo: return "redo";
    case Command::save: return "save";
    case Command::export_layer: return "export-layer";
    case Command::search: return "search";
    case Command::entry_line: return "entry-line";
    case Command::home: return "home";
    case Command::choose_files: return "choose-files";
    case Command::sharing: return "sharing";
    case Command::photo_sheet: return "photo-sheet";
    case Command::stage_earlier: return "stage-earlier";
    case Command::stage_later: return "stage-later";
    case Command::link_photo: return "link-photo";
    case Command::turn_photo: return "turn-photo";
    case Command::crop_photo: return "crop-photo";
    case Command::help: return "help";
    case Command::theme: return "theme";
    case Command::select_tool: return "select-tool";
    case Command::part_tool: return "part-tool";
    case Command::package_tool: return "package-tool";
    case Command::pin1_here: return "pin1-here";
    case Command::keepout_tool: return "keepout-tool";
    case Command::circle_tool: return "circle-tool";
    case Command::probe_tool: return "probe-tool";
    case Command::note_tool: return "note-tool";
    case Command::register_photo: return "register-photo";
    case Command::tick_step: return "tick-step";
    case Command::tick_step_with_photo: return "tick-step-with-photo";
    case Command::turn_mark: return "turn-mark";
    case Command::turn_mark_back: return "turn-mark-back";
    case Command::copy: return "copy";
    case Command::paste: return "paste";
    case Command::rename: return "rename";
    case Command::remove: return "remove";
    case Command::select_all: return "select-all";
    case Command::next_mark: return "next-mark";
    case Command::previous_mark: return "previous-mark";
    case Command::nudge_left: return "nudge-left";
    case Command::nudge_right: return "nudge-right";
    case Command::nudge_up: return "nudge-up";
    case Command::nudge_down: return "nudge-down";
    case Command::nudge_left_far: return "nudge-left-far";
    case Command::nudge_right_far: return "nudge-right-far";
    case Command::nudge_up_far: return "nudge-up-far";
    case Command::nudge_down_far: return "nudge-down-far";
    case Command::fit_photo: return "fit-photo";
    case Command::zoom_in: return "zoom-in";
    case Command::zoom_out: return "zoom-out";
    case Command::full_size: return "full-size";
    case Command::turn_view: return "turn-view";
    case Command::turn_view_back: return "turn-view-back";
    case Command::other_side: return "other-side";
    case Command::next_photo: return "next-photo";
    case Command::previous_photo: return "previous-photo";
    case Command::loupe: return "loupe";
    case Command::labels: return "labels";
    case Command::readings_table: return "readings-table";
    case Command::two_photos: return "two-photos";
    case Command::wipe: return "wipe";
    case Command::blink: return "blink";
    case Command::blink_rate: return "blink-rate";
    case Command::difference: return "difference";
    case Command::square_on: return "square-on";
    case Command::read_print: return "read-print";
    case Command::join_photos: return "join-photos";
    case Command::sharpness: return "sharpness";
    case Command::ruler: return "ruler";
    case Command::steps_more: return "steps-more";
    case Command::steps_less: return "steps-less";
    case Command::turn_view_little: return "turn-view-little";
    case Command::turn_view_little_back: return "turn-view-little-back";
    case Command::mirror_view: return "mirror-view";
    case Command::next_step: return "next-step";
    case Command::previous_step: return "previous-step";
    case Command::take_photo: return "take-photo";
    case Command::meter_reading: return "meter-reading";
    case Command::do_anything: return "do-anything";
    case Command::settings: return "settings";
    case Command::high_contrast: return "high-contrast";
    case Command::big_targets: return "big-targets";
    case Command::copy_readings: return "copy-readings";
    case Command::copy_picture: return "copy-picture";
    case Command::copy_text: return "copy-text";
    case Command::copy_photo_file: return "copy-photo-file";
    case Command::copy_record: return "copy-record";
    case Command::copy_exported: return "copy-exported";
    case Command::fold_worklist: return "fold-worklist";
    case Command::fold_card: return "fold-card";
    case Command::fold_roll: return "fold-roll";
    case Command::fold_all: return "fold-all";
    case Command::cancel: return "cancel";
    case Command::accept: return "accept";
  }
  return {};
}

}  // namespace boardlore
