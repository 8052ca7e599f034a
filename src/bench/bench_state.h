// What the window remembers between frames and never saves: what is chosen, where each pane looks, which
// tool is in hand. The document itself is in the desk.
#pragma once

#include <set>
#include <string>

#include "bench/camera.h"
#include "bench/desk.h"
#include "geometry/registration_fit.h"
#include "overlay/label_layout.h"
#include "judging/readings_table.h"

namespace boardlore {

enum class Stage { intake, find, measure, before_lifting, rework, prove, hand_back };
constexpr int stage_count = 7;

enum class Tool { select, part, package, keepout, circle, probe, note };
enum class Panes { one, side_by_side, wipe, blink, difference };
enum class LoupeMode { while_placing, always, never };
enum class Labels { some, all, none };

struct PaneState {
  Id photo;
  Camera camera;
  LabelMemory names;                  // those that stood in the last frame
  std::map<Id, Camera> cameras;  // where each photo was looked at last
  float width = 0, height = 0;   // of the pane when it was last drawn
};

// One mark being placed, moved or boxed.
struct Gesture {
  std::vector<BoardPoint> picked;         // clicks so far, in board millimetres
  bool boxing = false, moving = false;
  PhotoPoint box_from;
  BoardPoint move_from;
  bool pressed_on_mark = false;
  Id pressed_mark;
  bool panning = false;
};

struct Registering {
  bool on = false;
  Id photo;
  std::vector<Fiducial> picked;
  std::size_t wanted_index = 0;       // which of the wanted fiducials comes next
  int dragging = -1;                  // index into picked
  // By a known distance, where the board has no size: two clicks and a length.
  bool by_distance = false;
  std::vector<PhotoPoint> ends;
  std::string length;
};

// A list being tied to the board by clicking its parts on the photo.
struct Tying {
  bool on = false;
  std::string name;                   // the part that is to be clicked next
  std::string filter;
  std::optional<BoardPoint> clicked;  // in this frame
};

// The table of readings: how it is narrowed and sorted, and its rows as last worked out.
struct ReadingsSheet {
  bool shown = false;
  ReadingFilter filter;
  ReadingOrder order = ReadingOrder::taken;
  bool descending = true;
  std::shared_ptr<const Job> of_job;
  std::shared_ptr<const Layer> of_layer;
  ReadingFilter of_filter;
  ReadingOrder of_order = ReadingOrder::taken;
  bool of_descending = true;
  std::vector<ReadingRow> rows;
};

// Two points of one photo, and over how many steps the way between them is counted.
struct Ruler {
  bool on = false;
  Id photo;
  std::vector<PhotoPoint> ends;
  int steps = 1;
  int dragging = -1;                  // index into ends
};

struct BenchState {
  Stage stage = Stage::find;
  std::set<Id> selected;
  Id shown;                           // the mark on the card: the one selected last
  Id hovered;
  PaneState pane[2];
  int pane_in_hand = 0;
  Panes panes = Panes::one;
  double wipe = 0.5;                  // part of the width that shows the first photo
  bool wiping = false;
  double blink_half_s = 0.5;          // how long each photo of a blinking pair is seen
  bool sharpness_shown = false;       // where photo 0 is sharp, over it
  Tool tool = Tool::select;
  Gesture gesture;
  Registering registering;
  Tying tying;
  LoupeMode loupe = LoupeMode::while_placing;
  Labels labels = Labels::some;
  std::vector<Mark> clipboard;        // marks copied here, while the desktop's clipboard holds `clipboard_words`
  std::string clipboard_words;
  unsigned long clipboard_owner = 0;  // who holds it since (x11_selection.h)
  std::string last_refdes;            // what the next part counts on from
  Package last_package;
  ReadingsSheet readings;
  std::filesystem::path watched;      // a camera's folder, while it is watched
  std::string watch_words;
  std::string photo_note;             // of the photo whose sheet is open
  Id open_sheet_of;                   // asked for by a key
  Id dragged_photo;                   // out of the roll, to another stage
  std::string filter;
  bool focus_filter = false;
  std::string entry;
  int open_before_lift = 0;           // of the chosen part's check, once it was worked out
  Id followed_mark;                   // what the worklist was last brought to
  std::string followed_list;          // its stage and search then
  bool focus_entry = false;
  bool entry_to_end = false;          // typing goes on behind what stands in the line
  bool focus_name = false;
  std::string lit_net;                // every point of it is lit, on both sides
  std::string symptom;                // on a board without a job: which usual faults are asked for
  bool worklist_folded = false, card_folded = false, roll_folded = false;
  bool overview = false;
  bool settings_shown = false, doing_shown = false;
  // As typed into the settings; they become settings when they can be one. Empty: the sheet was closed.
  struct SettingsTyped {
    std::string meter, camera;
    bool mending = false;  // a field holds what was refused, so Escape is its own
  };
  std::optional<SettingsTyped> settings_typed;
  Ruler ruler;
  bool small_map_held = false;        // it has the mouse
  bool small_map = true, turns_over_level = false;  // as the settings say
  Id learning_put_off;                // the job whose readings are not to be learnt from just now
  std::optional<BoardPoint> cursor_board;  // linked cursor
  std::optional<Side> cursor_side;
  Id jump_to;                         // bring this mark into view when its photo is drawn
};

}  // namespace boardlore
