// The part of the app that is about the window itself: settings, what it remembers, the sheets over it, a meter, a camera.
#include <SDL.h>
#include <SDL_syswm.h>
#include <imgui_internal.h>

#include <sstream>

#include "bench/app.h"
#include "bench/camera_command.h"
#include "bench/clipboard_text.h"
#include "bench/file_dialog.h"
#include "bench/file_uri.h"
#include "bench/key_bindings.h"
#include "bench/ruler.h"
#include "bench/settings_sheet.h"
#include "overlay/close_up.h"
#include "pictures/encode.h"
#include "storage/cache_folder.h"
#include "storage/user_folders.h"

namespace boardlore {
namespace {

constexpr double little_turn_rad = 5 * 3.14159265358979323846 / 180;

std::string first_of(const std::vector<Problem>& problems) {
  return problems.empty() ? "" : to_text(problems.front()) + (problems.size() > 1 ? " (and " + std::to_string(problems.size() - 1) + " more)" : "") + ". The rest counts.";
}

// As the desktop portal names the window a dialog belongs to; empty where it can't be named (Wayland).
std::string portal_name_of(SDL_Window* window) {
  SDL_SysWMinfo info;
  SDL_VERSION(&info.version);
  if (SDL_GetWindowWMInfo(window, &info) == SDL_FALSE || info.subsystem != SDL_SYSWM_X11) return {};
  std::ostringstream name;
  name << "x11:" << std::hex << info.info.x11.window;
  return name.str();
}

}  // namespace

void BenchApp::read_habits() {
  std::vector<Problem> problems;
  settings_ = settings_written_ = read_settings(config_file("settings"), problems);
  use_keys_of(with_keys_of(config_file("keys"), usual_keys(), problems));
  if (!problems.empty()) say(first_of(problems), true);
  const WindowMemory memory = read_window_memory(state_file("window"));
  state_.worklist_folded = memory.worklist_folded, state_.card_folded = memory.card_folded, state_.roll_folded = memory.roll_folded;
  first_steps_done_ = memory.first_steps_done;
}

void BenchApp::remember_window() {
  WindowMemory memory = read_window_memory(state_file("window"));
  const Uint32 flags = SDL_GetWindowFlags(window_.sdl());
  memory.maximised = (flags & SDL_WINDOW_MAXIMIZED) != 0;
  // The size to go back to from a maximised window is the one from before.
  if (!memory.maximised) SDL_GetWindowPosition(window_.sdl(), &memory.x, &memory.y), SDL_GetWindowSize(window_.sdl(), &memory.width, &memory.height);
  memory.worklist_folded = state_.worklist_folded, memory.card_folded = state_.card_folded, memory.roll_folded = state_.roll_folded;
  memory.first_steps_done = first_steps_done_;
  // A comfort: where it cannot be written, the window opens as it did.
  static_cast<void>(write_window_memory(state_file("window"), memory));
}

void BenchApp::use_verbs(std::vector<Verb> verbs, std::filesystem::path program) { doing_.use(std::move(verbs), std::move(program)); }

void BenchApp::follow_settings() {
  state_.small_map = settings_.small_map, state_.turns_over_level = settings_.turns_over_level;
  if (theme_.name != settings_.theme || theme_.scale != scale()) {
    theme_ = make_theme(settings_.theme, scale());
    apply_theme(theme_);
  }
  if (fonts_scale_ != scale()) {
    fonts_ = load_fonts(scale());
    if (fonts_scale_ != 0) window_.renew_fonts();
    fonts_scale_ = scale();
  }
  if (settings_ != settings_written_) {
    settings_written_ = settings_;
    if (const Result<Done> done = write_settings(config_file("settings"), settings_); !done) say(to_text(done.problem()), true);
  }
  if (first_steps_.finished() && first_steps_begun_ && !first_steps_done_) first_steps_done_ = true, remember_window();
}

void BenchApp::follow_bench_devices() {
  if (auto value = meter_.take()) {
    lively_frames_ = 4;
    if (!*value) {
      say("The meter gave no value. " + to_text(value->problem()), true);
    } else {
      // A field being typed in keeps its own text: it is let go of first.
      ImGui::ClearActiveID();
      const std::string& entry = (*value)->entry;
      // A value alone is the chosen mark's.
      const MarkPtr mark = view_->open ? view_->snapshot.layer->marks.find(state_.shown) : nullptr;
      if (state_.entry.empty() && mark && !mark->refdes.empty()) state_.entry = mark->refdes;
      if (state_.entry.empty()) say("The meter reads " + (*value)->entry + ": click its part and press " + key_words(Command::meter_reading) + " again, or type the name before it.", false);
      state_.entry += (state_.entry.empty() || state_.entry.back() == ' ' ? "" : " ") + entry;
      state_.focus_entry = true;
    }
  }
  if (auto picture = cutting_.take()) {
    lively_frames_ = 4;
    cutting_out_ = false;
    if (!*picture) say(to_text(picture->problem()), true);
    else if (!clipboard_offer_.offer({{"image/png", **picture}})) say("The desktop's clipboard takes no picture here. `boardlore draw --close-up` writes it into a file.", true);
    else say("Copied the mark's picture.", false);
  }
  if (auto photo = camera_.take()) {
    lively_frames_ = 4;
    camera_at_work_ = false;
    if (!*photo) say("No photo was taken. " + to_text(photo->problem()), true);
    else if (view_->open) {
      const DeskPhoto* shown = view_->find_photo(state_.pane[0].photo);
      add_photos({**photo}, shown ? shown->photo.side : Side::top, false);
    }
  }
}

// One dialog at a time; the window goes on meanwhile.
void BenchApp::open_file_dialog() {
  if (dialog_open_) return;
  dialog_open_ = true;
  choosing_ = Task<Result<std::vector<std::filesystem::path>>>::start([parent = portal_name_of(window_.sdl())](const TaskReins& reins) {
    return files_from_dialog("Photos, a list or a bundle for Boardlore", parent, reins.stop);
  });
}

void BenchApp::follow_file_dialog() {
  auto chosen = choosing_.take();
  if (!chosen) return;
  dialog_open_ = false;
  if (!*chosen) say("This desktop has no file dialog to offer: drop the files on the window, or paste their paths. " + to_text(chosen->problem()), true);
  else take_files(**chosen);
}

void BenchApp::copy_picture(const Scene& scene) {
  const MarkPtr mark = scene.layer().marks.find(state_.shown);
  const DeskPhoto* shown = view_->find_photo(state_.pane[state_.pane_in_hand].photo);
  if (!mark || !shown) return say("Choose a mark first.", true);
  const Result<PhotoMap> map = shown->photo.registration ? PhotoMap::from(*shown->photo.registration) : Result<PhotoMap>(Problem{shown->photo.file, "", "a registered photo", "one that is not"});
  const auto pyramid = textures_.pyramid(shown->path);
  if (!map || !pyramid || cutting_out_) return say(!map ? to_text(map.problem()) : "The photo is still being read.", true);
  if (mark->side != shown->photo.side) return say("The mark is on the board's other side.", true);
  cutting_out_ = true;
  cutting_ = Task<Result<std::string>>::start([mark, map = *map, pyramid, shapes = derived_.shapes(mark->side)](const TaskReins&) -> Result<std::string> {
    const Result<Raster> picture = close_up(pyramid->level(0), map, shapes, *mark);
    if (!picture) return picture.problem();
    return png_bytes(*picture);
  });
}

// A photo of a job leaves as it lies there; said, as an export would have scrubbed it.
std::string BenchApp::words_about_as_taken(const std::vector<std::filesystem::path>& files) const {
  for (const DeskPhoto& entry : view_->photos)
    if (view_->is_job() && !entry.reference && !entry.made && std::find(files.begin(), files.end(), entry.path) != files.end())
      return ", as taken: the camera's time and place may be in it.";
  return ".";
}

void BenchApp::copy_files(const std::vector<std::filesystem::path>& files) {
  std::string paths;
  std::error_code error;
  for (const auto& file : files) paths += (paths.empty() ? "" : "\n") + std::filesystem::absolute(file, error).string();
  if (clipboard_offer_.offer({{"text/uri-list", uri_list(files)}, {"UTF8_STRING", paths}})) return say("Copied " + spoken_files(files) + words_about_as_taken(files), false);
  ImGui::SetClipboardText(paths.c_str());
  say("Copied where it lies, as text: " + paths, false);
}

void BenchApp::follow_drag_out() {
  const auto ended = drag_out_.begin_frame();
  if (!ended) return;
  lively_frames_ = 4;
  const std::string name = spoken_files(ended->files);
  switch (ended->end) {
    case X11DragOut::End::taken: return say("Handed over " + name + words_about_as_taken(ended->files), false);
    case X11DragOut::End::refused: return say("The other program did not take " + name + ".", true);
    case X11DragOut::End::no_answer: return say("The other program did not say whether it took " + name + ".", true);
    case X11DragOut::End::nowhere:
      if (ended->over_nothing) say("No program there takes files, so " + name + " stayed here. Copied, it can be pasted into some.", false);
      return;
    case X11DragOut::End::cancelled: return;
  }
}

void BenchApp::draw_sheets(const Scene& scene, ImVec2 window) {
  if (scene.desk.open) {
    const Layout l = layout();
    first_steps_.draw(scene, state_, ImVec2(l.left, l.top + l.strip), ImVec2(l.window.x - l.right, l.window.y - l.bottom - l.status));
  }
  if (state_.settings_shown) draw_settings_sheet(scene, state_, settings_, window);
  else state_.settings_typed.reset();
  if (state_.doing_shown) doing_.draw(scene, state_, window);
  alarm_.draw(scene, window);
  drag_out_.draw(scene);
}

bool BenchApp::step_back_from_sheet() {
  if (drag_out_.cancel()) return true;
  if (state_.doing_shown) return doing_.close(state_), true;
  if (state_.settings_typed && state_.settings_typed->mending) return true;
  if (state_.settings_shown) return state_.settings_shown = false, true;
  return false;
}

void BenchApp::use_comfort_keys(const Scene& scene) {
  if (pressed(Command::do_anything)) state_.doing_shown ? doing_.close(state_) : doing_.open(state_);
  if (pressed(Command::settings)) state_.settings_shown = !state_.settings_shown;
  if (pressed(Command::theme))
    settings_.theme = settings_.theme == ThemeName::dark ? ThemeName::light : settings_.theme == ThemeName::light ? ThemeName::high_contrast : ThemeName::dark;
  if (pressed(Command::high_contrast)) settings_.theme = settings_.theme == ThemeName::high_contrast ? ThemeName::dark : ThemeName::high_contrast;
  if (pressed(Command::big_targets)) settings_.big_targets = !settings_.big_targets;
  if (pressed(Command::choose_files)) open_file_dialog();
  if (!scene.desk.open) return;
  use_ruler_keys(state_);
  Camera& camera = state_.pane[state_.pane_in_hand].camera;
  if (pressed(Command::turn_view_little)) camera.turn_rad = std::remainder(camera.turn_rad + little_turn_rad, 2 * 3.14159265358979323846);
  if (pressed(Command::turn_view_little_back)) camera.turn_rad = std::remainder(camera.turn_rad - little_turn_rad, 2 * 3.14159265358979323846);
  if (pressed(Command::mirror_view)) camera.flipped = !camera.flipped;
  if (pressed(Command::meter_reading)) {
    if (!scene.job()) say("Readings belong to a job: open one.", true);
    else if (settings_.meter.empty()) say("No meter is set. " + key_words(Command::settings) + " opens the settings.", true);
    else meter_.ask(settings_.meter);
  }
  if (pressed(Command::take_photo) && !camera_at_work_) {
    if (settings_.camera.empty()) {
      say("No camera is set. " + key_words(Command::settings) + " opens the settings; photos saved into a watched folder come by themselves.", true);
    } else {
      camera_at_work_ = true;
      camera_ = Task<Result<std::filesystem::path>>::start([command = settings_.camera, folder = cache_folder("camera")](const TaskReins& reins) {
        return take_with_camera(command, folder, reins.stop);
      });
    }
  }
  if (pressed(Command::copy_readings)) {
    if (!scene.job()) return say("Readings belong to a job: open one.", true);
    const ReadingsSheet& sheet = state_.readings;
    const auto rows = reading_rows(scene.layer(), *scene.job(), sheet.filter, sheet.order, sheet.descending, scene.now());
    ImGui::SetClipboardText(readings_text(rows).c_str());
    say("Copied: " + std::to_string(rows.size()) + " readings, to be pasted as a table.", false);
  }
  if (pressed(Command::copy_picture)) copy_picture(scene);
  if (pressed(Command::copy_photo_file))
    if (const DeskPhoto* shown = view_->find_photo(state_.pane[state_.pane_in_hand].photo)) copy_files({shown->path});
  if (pressed(Command::copy_record)) {
    const auto& record = scene.given.owner.empty() ? scene.given.shop : scene.given.owner;
    if (record.empty()) say("No record was made yet: the stage Hand back makes it.", true);
    else copy_files(record);
  }
  if (pressed(Command::copy_exported)) {
    if (scene.given.exported.empty()) say("Nothing was exported yet: " + key_words(Command::export_layer) + " does.", true);
    else copy_files(scene.given.exported);
  }
  if (pressed(Command::copy_text)) {
    const MarkPtr mark = scene.layer().marks.find(state_.shown);
    if (!mark) return say("Choose a mark first.", true);
    ImGui::SetClipboardText(mark_text(scene.layer(), scene.job(), *mark, scene.now()).c_str());
    say("Copied " + (mark->refdes.empty() ? "the mark" : mark->refdes) + " as text.", false);
  }
}

}  // namespace boardlore
