// The window as a whole: lays out the panels, carries out what a frame asked for.
#pragma once

#include "bench/card.h"
#include "bench/clipboard_pictures.h"
#include "bench/cover_view.h"
#include "bench/desk.h"
#include "bench/list_preview.h"
#include "bench/photo_comparer.h"
#include "bench/photo_view.h"
#include "bench/place_finder.h"
#include "bench/print_reader.h"
#include "bench/scene.h"
#include "bench/sharing_sheet.h"
#include "bench/alarm.h"
#include "bench/bench_settings.h"
#include "bench/do_anything.h"
#include "bench/drag_out.h"
#include "bench/first_steps.h"
#include "bench/given_files.h"
#include "bench/meter_reader.h"
#include "bench/shop_search.h"
#include "bench/start_page.h"
#include "bench/window.h"
#include "bench/x11_offer.h"
#include "record/photo_watch.h"

namespace boardlore {

class BenchApp {
 public:
  // `window` outlives the app.
  BenchApp(Window& window, std::filesystem::path library);
  BenchApp(const BenchApp&) = delete;
  BenchApp& operator=(const BenchApp&) = delete;

  // A board or job folder, or photos for a new board.
  void open(const std::filesystem::path& path);
  // The start page; on a first start (an empty library) the demo board.
  void first_view();
  // What the program can do without a window, for the list of everything; and how it is run there.
  void use_verbs(std::vector<Verb> verbs, std::filesystem::path program);
  // Settings, keys and folded panels from their files; what is wrong in them is said.
  void read_habits();
  // Where the window stands and which panels are folded, for the next start.
  void remember_window();
  // Events, one frame, and what it asked for; false: closed. Waits for events while nothing moves.
  bool frame();

  const Anchors& anchors() const { return anchors_; }
  const BenchState& state() const { return state_; }
  DeskViewPtr desk_view() const { return desk_.view(); }
  const DeskViewPtr& shown_view() const { return view_; }  // with the made pictures, as last drawn
  // Nothing under way: neither the desk, a decoder, a search nor a comparison. For tests.
  bool at_rest() const { return !desk_.busy() && !textures_.working() && !shop_.working() && !reading_list_ && !finder_.working() && !comparer_.working() && !maker_.working() && !reader_.working() && !records_.working() && !pasting_ && !card_.before_lift.at_work && !page_.naming_at_work && !unpacking_ && !sheet_.at_work && !doing_.working() && !meter_.working() && !camera_at_work_ && !cutting_out_ && !given_.working(); }
  const PlaceFinder& finder() const { return finder_; }
  const PrintReader& print_reader() const { return reader_; }
  const std::optional<ListPreview>& list_preview() const { return list_preview_; }
  const ComparedPtr& compared() const { return derived_.compared(); }
  const std::string& last_message() const { return message_; }
  const Settings& settings() const { return settings_; }
  const DoAnything& doing() const { return doing_; }
  const FieldFaults& faults() const { return faults_; }
  const FirstSteps& first_steps() const { return first_steps_; }
  const DragOut& drag_out() const { return drag_out_; }
  const Theme& theme() const { return theme_; }

 private:
  struct Layout {
    ImVec2 window;
    float top = 0, strip = 0, status = 0, bottom = 0, roll = 0, left = 0, right = 0;
  };
  Layout layout() const;
  void draw(const Scene& scene);
  void draw_top(const Scene& scene, const Layout& layout);
  void draw_bench(const Scene& scene, const Layout& layout);
  void draw_message(const Scene& scene, ImVec2 window);
  void use_keys(const Scene& scene, const PaneLook& look);
  void follow_document(const DeskView& view);
  void take_dropped();
  void take_files(const std::vector<std::filesystem::path>& given);  // dropped, or chosen in the desktop's dialog
  void copy_picture(const Scene& scene);
  void copy_files(const std::vector<std::filesystem::path>& files);
  std::string words_about_as_taken(const std::vector<std::filesystem::path>& files) const;
  void follow_drag_out();
  void open_file_dialog();
  void follow_file_dialog();
  void look_at_list(const std::filesystem::path& file, ListOptions options = {});
  void unpack_dropped(const std::filesystem::path& bundle);
  void draw_list(const Scene& scene, ImVec2 window);
  void follow_slow_work(const DeskView& view);
  void look_at_watched();
  void keep_comparison(const Compared& compared);
  void show_kept_comparison(const DeskView& view);
  void take_pasted();
  void carry_out(const Scene& scene);
  void carry_out(const Scene& scene, const Intent& intent);
  void see_difference();
  void follow_made();
  void show_mark(const Scene& scene, const Id& mark);
  void add_photos(const std::vector<std::filesystem::path>& files, Side first_side, bool sides_in_turn);
  void say(const std::string& words, bool trouble);
  void follow_settings();
  void follow_bench_devices();
  bool step_back_from_sheet();
  void draw_sheets(const Scene& scene, ImVec2 window);
  void use_comfort_keys(const Scene& scene);
  float scale() const { return window_.scale() * (settings_.big_targets ? big_target_factor : 1); }

  Window& window_;
  std::filesystem::path library_;
  Session session_;
  Settings settings_, settings_written_;
  Theme theme_;
  Fonts fonts_;
  Anchors anchors_;
  Intents intents_;
  FieldFaults faults_;
  PhotoTextures textures_;
  Derived derived_;
  ShopSearch shop_;
  BenchState state_;
  CardState card_;
  StartPageState page_;
  PlaceFinder finder_;
  PhotoComparer comparer_;
  PictureMaker maker_;
  RecordMaker records_;
  Id kept_shown_;                      // the kept comparison that is shown
  std::uint64_t kept_looked_at_ = 0;   // version of the document
  Task<ClipboardPictures> clipboard_;
  bool pasting_ = false;
  Alarm alarm_;
  MeterReader meter_;
  DoAnything doing_;
  FirstSteps first_steps_;
  bool first_steps_begun_ = false, first_steps_done_ = false;
  Task<Result<std::filesystem::path>> camera_;
  bool camera_at_work_ = false;
  Task<Result<std::vector<std::filesystem::path>>> choosing_;  // the desktop's file dialog
  bool dialog_open_ = false;
  Task<Result<std::string>> cutting_;  // a mark's picture, for the clipboard
  bool cutting_out_ = false;
  X11Offer clipboard_offer_;  // what SDL can't put there: a picture, files
  DragOut drag_out_{window_.sdl()};
  GivenFilesWatch given_;
  float fonts_scale_ = 0;
  PrintReader reader_;
  bool show_difference_next_ = false, show_proposal_next_ = false;
  Desk desk_;
  DeskViewPtr view_;
  std::filesystem::path last_dir_;
  std::vector<std::filesystem::path> waiting_photos_;  // of a board that is being made
  std::shared_ptr<PhotoWatch> watch_;  // a camera's folder; the desk looks into it
  double next_look_s_ = 0;
  double next_look_around_s_ = 0;
  std::set<Id> known_photos_;
  bool known_photos_stale_ = true;  // those of a folder that was opened just now are not news
  Id register_next_;
  std::filesystem::path show_in_;  // a mark to be shown once that folder lies open
  Id show_next_;
  Task<ListPreview> list_reading_;
  bool reading_list_ = false;
  SharingSheet sheet_;
  CoverState cover_;
  Task<Result<std::filesystem::path>> unpack_;  // a dropped bundle
  bool unpacking_ = false;
  std::optional<ListPreview> list_preview_;
  std::string message_;
  bool message_is_trouble_ = false;
  std::optional<Stage> message_stage_;  // it goes with this stage
  double message_until_s_ = 0, last_edit_s_ = 0;
  std::uint64_t seen_version_ = 0;
  int lively_frames_ = 3;  // frames still to be drawn without waiting
};

}  // namespace boardlore
