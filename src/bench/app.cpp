#include "bench/app.h"

#include <SDL_mouse.h>
#include <imgui_internal.h>

#include <algorithm>
#include <cstdlib>

#include "bench/at_work_line.h"
#include "bench/command_table.h"
#include "bench/entry_line.h"
#include "bench/fiducials_view.h"
#include "bench/found_view.h"
#include "bench/list_tie_view.h"
#include "bench/made_view.h"
#include "bench/overview.h"
#include "bench/photo_roll.h"
#include "bench/photo_sheet.h"
#include "bench/placing.h"
#include "bench/print_view.h"
#include "bench/readings_sheet.h"
#include "bench/side_by_side.h"
#include "bench/stage_line.h"
#include "bench/step_rows.h"
#include "bench/tool_strip.h"
#include "bench/widgets.h"
#include "bench/worklist.h"
#include "exchange/bundle.h"
#include "editing/entry_edits.h"
#include "exchange/export_layer.h"
#include "exchange/take_in_photo.h"
#include "judging/compared_parts.h"
#include "record/keep_comparison.h"
#include "storage/file_bytes.h"

namespace boardlore {
namespace {

// Every edit is in the journal at once; the document itself follows when the hands rest.
constexpr double save_after_s = 3;
constexpr double message_for_s = 7;
constexpr double look_around_every_s = 2;

void begin_lines(ImVec2 window) {
  ImGui::SetNextWindowPos(ImVec2(0, 0));
  ImGui::SetNextWindowSize(window);
  ImGui::Begin("lines", nullptr, ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoInputs | ImGuiWindowFlags_NoBackground |
                                     ImGuiWindowFlags_NoNav | ImGuiWindowFlags_NoSavedSettings | ImGuiWindowFlags_NoBringToFrontOnFocus |
                                     ImGuiWindowFlags_NoFocusOnAppearing);
}

// The first photos of a job show how the unit came in; after the first rework, how it is then.
PhotoStage likely_stage(const Job& job) {
  if (!job.actions.empty()) return PhotoStage::after;
  return job.photos.size() < 2 ? PhotoStage::intake : PhotoStage::before;
}

}  // namespace

BenchApp::BenchApp(Window& window, std::filesystem::path library)
    : window_(window),
      library_(std::move(library)),
      session_(make_session("window")),
      theme_(make_theme(ThemeName::dark, window.scale())),
      shop_(library_),
      desk_(make_session("desk")),
      view_(desk_.view()) {
  read_habits();
  theme_ = make_theme(settings_.theme, scale());
  apply_theme(theme_);
  fonts_ = load_fonts(fonts_scale_ = scale());
}

void BenchApp::open(const std::filesystem::path& path) {
  std::error_code error;
  if (path.filename() == "layer.json" || path.filename() == "job.json") {
    desk_.open(path.parent_path());  // as a file manager hands it over
  } else if (std::filesystem::is_directory(path, error) || !std::filesystem::exists(path, error)) {
    desk_.open(path);
  } else {
    page_.dropped.push_back(path);
    page_.focus_first = true;
  }
}

void BenchApp::first_view() {
  if (!list_library(library_).empty()) return;
  const auto demo = lay_out_demo(library_);
  if (demo.empty()) return;
  desk_.open(demo);
  if (!first_steps_done_) first_steps_.begin(demo), first_steps_begun_ = true;
}

void BenchApp::say(const std::string& words, bool trouble) {
  message_ = words;
  message_is_trouble_ = trouble;
  message_stage_.reset();
  message_until_s_ = ImGui::GetTime() + (trouble ? 3 : 1) * message_for_s;
}

bool BenchApp::frame() {
  // An idle window rests; anything under way keeps it going.
  const bool lively = lively_frames_ > 0 || desk_.busy() || textures_.working() || shop_.working() || reading_list_ || finder_.working() ||
                      comparer_.working() || maker_.working() || reader_.working() || records_.working() || pasting_ || card_.before_lift.at_work || page_.naming_at_work || unpacking_ || sheet_.at_work || doing_.working() || meter_.working() || camera_at_work_ || given_.working() || drag_out_.under_way() || alarm_.flashing() || state_.panes == Panes::blink;
  if (!window_.gather_events(lively ? 0 : 120)) return false;
  if (!window_.input().empty()) lively_frames_ = 4;
  if (lively_frames_ > 0) --lively_frames_;
  take_dropped();
  textures_.begin_frame();
  if (shop_.take_answers()) lively_frames_ = 4;
  if (auto preview = list_reading_.take()) list_preview_ = std::move(*preview), reading_list_ = false, lively_frames_ = 4;
  if (auto unpacked = unpack_.take()) {
    unpacking_ = false, lively_frames_ = 4;
    if (*unpacked) desk_.open(**unpacked), say("Another shop's board: " + (*unpacked)->filename().string(), false);
    else say(to_text(unpacked->problem()), true);
  }
  if (card_.before_lift.take_measured()) lively_frames_ = 4;
  if (page_.take_titles()) lively_frames_ = 4;
  follow_made();
  view_ = maker_.with_made(desk_.view());
  if (view_->version != seen_version_) lively_frames_ = 4;
  follow_document(*view_);
  follow_slow_work(*view_);
  if (given_.begin_frame(*view_)) lively_frames_ = 4;
  derived_.refresh(*view_);
  for (const DeskMessage& message : desk_.take_messages()) say(message.text, message.trouble), lively_frames_ = 4;
  follow_bench_devices();
  follow_file_dialog();
  follow_settings();
  begin_asking();
  window_.begin_frame();
  follow_drag_out();
  if (ImGui::GetIO().WantTextInput) lively_frames_ = std::max(lively_frames_, 1);
  anchors_.begin_frame();
  faults_.begin_frame(view_->dir.string() + "\n" + state_.shown.text);
  const Scene scene{*view_,   theme_,    fonts_,   anchors_, intents_, faults_, textures_, derived_, shop_, comparer_, maker_, records_, drag_out_, given_.files(), [this] { return session_.new_id(); },
                    [this] { return session_.now(); }, session_.technician};
  if (const DeskPhoto* next = view_->find_photo(register_next_); next && view_->open) start_registering(scene, state_, *next);
  register_next_ = Id{};
  if (view_->open && !show_next_.empty() && view_->dir == show_in_) show_mark(scene, std::exchange(show_next_, Id{}));
  if (std::exchange(show_proposal_next_, false)) look_at_proposal(scene, state_, reader_);
  preview_fit(scene, state_);
  preview_found(scene, state_, finder_);
  draw(scene);
  const ImVec4 ground = ImGui::ColorConvertU32ToFloat4(theme_.bench);
  window_.end_frame(ground.x, ground.y, ground.z);
  carry_out(scene);
  look_at_watched();
  if (view_->open && ImGui::GetTime() > next_look_around_s_) desk_.look_around(), next_look_around_s_ = ImGui::GetTime() + look_around_every_s;
  if (view_->unsaved && !desk_.busy() && ImGui::GetTime() - last_edit_s_ > save_after_s) desk_.save(), last_edit_s_ = ImGui::GetTime();
  return true;
}

void BenchApp::follow_document(const DeskView& view) {
  if (view.version == seen_version_) return;
  seen_version_ = view.version;
  if (view.dir != last_dir_) {
    last_dir_ = view.dir;
    const bool worklist = state_.worklist_folded, card = state_.card_folded, roll = state_.roll_folded;
    state_ = BenchState{};
    state_.worklist_folded = worklist, state_.card_folded = card, state_.roll_folded = roll;
    card_ = CardState{};
    sheet_ = SharingSheet{};
    cover_ = CoverState{};
    known_photos_.clear();
    watch_.reset();
    known_photos_stale_ = true;
    register_next_ = Id{};
    finder_.forget();
    comparer_.forget();
    maker_.forget();
    reader_.forget();
    list_preview_.reset();
    derived_.use(nullptr);
    kept_shown_ = Id{};
    kept_looked_at_ = 0;
    if (view.open) {
      remember_opened(view.dir);
      state_.stage = view.is_job() ? Stage::intake : Stage::find;
      if (!view.photos.empty()) state_.pane[0].photo = view.photos.front().photo.id;
      if (!waiting_photos_.empty()) add_photos(std::exchange(waiting_photos_, {}), Side::top, true);
    } else {
      page_.listed = false;
    }
  }
  if (!view.open) return;
  // A photo that came in just now is shown; unless hands are busy, its registration comes next.
  const DeskPhoto* fresh = nullptr;
  bool fresh_looked_for = false;
  for (const DeskPhoto& entry : view.photos)
    if (!entry.made && known_photos_.insert(entry.photo.id).second && !known_photos_stale_) {
      if (!fresh) fresh = &entry;
      // It finds its own place where another photo is registered already; else by hand, the first at once.
      const bool looked_for = !entry.photo.registration && finder_.look_for(view, entry.photo.id);
      if (&entry == fresh && looked_for) fresh_looked_for = true;
    }
  known_photos_stale_ = false;
  if (fresh && !state_.registering.on) {
    state_.pane[0].photo = fresh->photo.id;
    state_.pane[0].camera = Camera{};
    if (!fresh->photo.registration && !fresh_looked_for && state_.tool == Tool::select) register_next_ = fresh->photo.id;
  }
  if (!view.find_photo(state_.pane[0].photo)) state_.pane[0].photo = view.photos.empty() ? Id{} : view.photos.front().photo.id;
}

void BenchApp::follow_made() {
  const auto news = maker_.take();
  if (!news) return;
  lively_frames_ = 4;
  if (!news->trouble.empty()) say(news->trouble, true);
  if (news->sharpness) state_.sharpness_shown = true;
  if (!news->show.empty()) intents_.push(intent::ShowPhoto{news->show});
}

void BenchApp::follow_slow_work(const DeskView& view) {
  if (finder_.begin_frame(view)) lively_frames_ = 4;
  for (const PlaceFinder::Refused& refused : finder_.take_refused()) {
    lively_frames_ = 4;
    if (refused.refusal.reason != RefusalReason::stopped) say("Its place was not found: " + refused.refusal.words, true);
    // By hand then, where the photo is in view and the hands are free.
    const DeskPhoto* photo = view.find_photo(refused.photo);
    if (photo && !photo->photo.registration && state_.pane[0].photo == refused.photo && !state_.registering.on && state_.tool == Tool::select)
      register_next_ = refused.photo;
  }
  if (const auto news = reader_.take(view)) {
    lively_frames_ = 4;
    if (!news->words.empty()) say(news->words, news->trouble);
    state_.selected.clear(), state_.shown = Id{};
    show_proposal_next_ = true;
  }
  if (auto news = comparer_.take()) {
    lively_frames_ = 4;
    if (!news->trouble.empty()) say("Not compared: " + news->trouble, true);
    if (news->compared) {
      derived_.use(news->compared);
      keep_comparison(*news->compared);
    }
    if (news->compared && std::exchange(show_difference_next_, false)) state_.panes = Panes::difference;
  }
  if (auto made = records_.take()) {
    lively_frames_ = 4;
    given_.look_again();
    say(*made ? **made : "The record was not made: " + to_text(made->problem()), !*made);
  }
  take_pasted();
  show_kept_comparison(view);
  // What was compared no longer stands when a photo or its place changed.
  if (const ComparedPtr& compared = derived_.compared(); compared && (!view.find_photo(compared->before) || !view.find_photo(compared->after))) derived_.use(nullptr);
}

// Into the job, where there is one that is open: the record tells what was answered. Undone like any edit.
void BenchApp::keep_comparison(const Compared& compared) {
  if (!view_->is_job() || view_->snapshot.job->hand_back) return;
  const Id id = session_.new_id();
  kept_shown_ = id;
  const auto edit = keep_comparison_edit(view_->snapshot, compared.comparison, {compared.before, compared.after}, session_.technician, session_.now(), id);
  if (!edit) return say(to_text(edit.problem()), true);
  intents_.push(intent::Commit{"compare", {*edit}});
}

// A comparison made earlier, by a colleague or by the command line is shown like one made just now.
void BenchApp::show_kept_comparison(const DeskView& view) {
  if (!view.is_job() || view.version == kept_looked_at_) return;
  kept_looked_at_ = view.version;
  const KeptComparison* newest = newest_comparison(*view.snapshot.job);
  if (!newest || newest->id == kept_shown_) return;
  kept_shown_ = newest->id;
  derived_.use(compared_from(*newest, view));
}

// Pictures from the clipboard, once they were read beside the frame.
void BenchApp::take_pasted() {
  auto pasted = clipboard_.take();
  if (!pasted) return;
  pasting_ = false;
  lively_frames_ = 4;
  if (!view_->open) return;
  Side side = Side::top;
  if (const DeskPhoto* shown = view_->find_photo(state_.pane[0].photo)) side = shown->photo.side;
  if (pasted->files.empty() && pasted->picture.empty() && !pasted->asked_text) {
    const char* words = ImGui::GetClipboardText();
    pasted->files = files_named_in(words ? words : "");
  }
  if (!pasted->files.empty()) return add_photos(pasted->files, side, false);
  if (pasted->picture.empty()) return say("Nothing to paste: copy a picture, files of pictures, or marks.", true);
  desk_.run("paste a picture", [bytes = std::move(pasted->picture), ending = pasted->ending, side, id = session_.new_id()](Folder& folder) -> Result<std::string> {
    std::optional<PhotoStage> stage;
    if (folder.is_job()) stage = likely_stage(*folder.now().job);
    std::error_code error;
    const std::filesystem::path place = std::filesystem::temp_directory_path(error) / ("boardlore-" + id.text), file = place / ("pasted" + ending);
    std::filesystem::create_directory(place, error);
    const Result<Done> written = write_file_atomically(file, bytes);
    const Result<Photo> photo = written ? take_in_photo(folder, file, side, stage) : Result<Photo>(written.problem());
    std::filesystem::remove_all(place, error);
    if (!photo) return photo.problem();
    return "Added " + photo->file;
  });
  last_edit_s_ = ImGui::GetTime();
}

// Once a second, on the desk: a camera's folder on a slow share must not hold up a frame.
void BenchApp::look_at_watched() {
  if (!watch_ || !view_->is_job() || desk_.busy() || ImGui::GetTime() < next_look_s_) return;
  next_look_s_ = ImGui::GetTime() + 1;
  Side side = Side::top;
  if (const DeskPhoto* shown = view_->find_photo(state_.pane[0].photo)) side = shown->photo.side;
  desk_.run("look for new pictures", [watch = watch_, side](Folder& folder) -> Result<std::string> {
    std::string added;
    const WatchReport report = watch->look([&](const std::filesystem::path& file) -> Result<Done> {
      if (!folder.is_job()) return Done{};
      const Result<PictureInfo> info = probe_picture(file);
      if (!info) return info.problem();
      const Job& job = *folder.now().job;
      const Result<Photo> photo = take_in_photo(folder, file, side, stage_by_time(job, info->taken_at, likely_stage(job)));
      if (!photo && photo.problem().outcome == Outcome::finding) return Done{};  // here already
      if (!photo) return photo.problem();
      added += (added.empty() ? "Added " : ", ") + photo->file;
      return Done{};
    });
    if (!report.problems.empty()) return report.problems.front();
    return added;
  });
}

void BenchApp::take_dropped() {
  const auto dropped = window_.input().take_dropped();
  take_files({dropped.begin(), dropped.end()});
}

void BenchApp::take_files(const std::vector<std::filesystem::path>& given) {
  if (given.empty()) return;
  lively_frames_ = 4;
  std::vector<std::filesystem::path> files;
  for (const std::filesystem::path& path : given) {
    std::error_code error;
    if (std::filesystem::is_directory(path, error)) {
      desk_.open(path);
      return;
    }
    if (path.extension() == ".zip") {
      unpack_dropped(path);
      continue;
    }
    if (view_->open && looks_like_list(path)) {
      look_at_list(path);
      continue;
    }
    files.emplace_back(path);
  }
  if (files.empty()) return;
  if (first_steps_.on(*view_)) {  // the third step: a board of one's own, not another photo of the demo
    first_steps_.finish();
    desk_.close();
    page_.dropped = files;
    page_.focus_first = true;
    return;
  }
  if (!view_->open) {
    page_.dropped.insert(page_.dropped.end(), files.begin(), files.end());
    std::erase(page_.dropped, std::filesystem::path());
    page_.focus_first = true;
    page_.job_on.clear();
    return;
  }
  // The side in view, unless that side has its photo already and the other has none.
  bool has[2] = {};
  for (const DeskPhoto& entry : view_->photos)
    if (entry.reference == !view_->is_job()) has[entry.photo.side == Side::bottom] = true;
  Side side = has[0] && !has[1] ? Side::bottom : Side::top;
  if (const DeskPhoto* shown = view_->find_photo(state_.pane[0].photo); shown && has[0] && has[1]) side = shown->photo.side;
  add_photos(files, side, !has[0] && !has[1]);
}

// Checked whole and off the frame; into the library, under the archive's name and never over anything.
void BenchApp::unpack_dropped(const std::filesystem::path& bundle) {
  if (unpacking_) return say("One bundle at a time: the first is still being unpacked.", true);
  unpacking_ = true;
  const std::string name = folder_name(bundle.stem().string());
  unpack_ = Task<Result<std::filesystem::path>>::start([bundle, name = name.empty() ? std::string("bundle") : name, boards = library_ / "boards"](const TaskReins&) -> Result<std::filesystem::path> {
    std::error_code ignored;
    std::filesystem::path dir = boards / name;
    for (int n = 2; std::filesystem::exists(std::filesystem::symlink_status(dir, ignored)); ++n) dir = boards / (name + "-" + std::to_string(n));
    const Result<SharedFiles> files = unpack_bundle(bundle, dir);
    if (!files) return files.problem();
    return dir;
  });
}

void BenchApp::look_at_list(const std::filesystem::path& file, ListOptions options) {
  reading_list_ = true;
  // A source of ids of its own: the task must not share the window's.
  const Session session = make_session("list " + file.string() + view_->snapshot.layer->id.text);
  list_reading_ = Task<ListPreview>::start([file, layer = view_->snapshot.layer, session, options = std::move(options)](const TaskReins&) {
    return preview_list(file, *layer, [&] { return session.new_id(); }, session.now(), options);
  });
}

void BenchApp::draw_list(const Scene& scene, ImVec2 window) {
  if (!list_preview_ || !scene.desk.open) {
    state_.tying = Tying{};
    return list_preview_.reset();
  }
  const PreviewAnswer answer = draw_list_preview(scene, state_, *list_preview_, window);
  if (answer == PreviewAnswer::again) return look_at_list(list_preview_->file, list_preview_->options);
  if (answer == PreviewAnswer::take)
    intents_.push(intent::Commit{"import " + list_preview_->file.filename().string(), list_preview_->plan.edits});
  if (answer != PreviewAnswer::none) list_preview_.reset(), state_.tying = Tying{};
}

void BenchApp::add_photos(const std::vector<std::filesystem::path>& files, Side first_side, bool sides_in_turn) {
  Side side = first_side;
  for (const auto& file : files) {
    if (file.empty()) continue;
    desk_.run("add " + file.filename().string(), [file, side](Folder& folder) -> Result<std::string> {
      std::optional<PhotoStage> stage;
      if (folder.is_job()) stage = likely_stage(*folder.now().job);
      const auto photo = take_in_photo(folder, file, side, stage);
      if (!photo) return photo.problem();
      return std::string();
    });
    if (sides_in_turn && side == Side::top) side = Side::bottom;
  }
  last_edit_s_ = ImGui::GetTime();
}

BenchApp::Layout BenchApp::layout() const {
  const Theme& t = theme_;
  Layout l;
  l.window = ImGui::GetIO().DisplaySize;
  const bool low = l.window.y < 820 * t.scale;
  l.top = t.grid(15);
  l.status = t.grid(6.5F);
  l.roll = state_.roll_folded ? 0 : t.grid(low ? 17 : 22);
  l.bottom = l.roll + t.grid(13);
  l.left = state_.worklist_folded ? 0 : t.grid(l.window.x < 1400 * t.scale ? 52 : 60);
  l.right = state_.card_folded ? 0 : t.grid(l.window.x < 1400 * t.scale ? 72 : 84);
  l.strip = tool_strip_height(t, l.window.x - l.left - l.right);
  return l;
}

void BenchApp::draw(const Scene& scene) {
  const Layout l = layout();
  if (!scene.desk.open) {
    begin_panel(scene, "start", ImVec2(0, 0), l.window, theme_.panel);
    draw_start_page(scene, page_, library_, l.window);
    end_panel();
    use_keys(scene, PaneLook{});
  } else {
    // The stage says what the card says of the chosen part.
    const BeforeLiftCheck& check = card_.before_lift;
    const bool of_shown = check.report && check.mark == state_.shown && check.job == scene.desk.snapshot.job && scene.job() && !scene.job()->hand_back;
    state_.open_before_lift = of_shown ? static_cast<int>(check.report->open_count()) : 0;
    draw_top(scene, l);
    draw_bench(scene, l);
  }
  draw_list(scene, l.window);
  draw_sharing_sheet(scene, sheet_, l.window);
  if (scene.desk.open) draw_finding(scene, finder_, ImVec2(l.window.x / 2, l.top + l.strip + theme_.grid(14)));
  if (scene.desk.open && maker_.working() &&
      draw_at_work(scene, "making", maker_.doing() + " …", maker_.progress(), ImVec2(l.window.x / 2, l.top + l.strip + theme_.grid(30))))
    maker_.stop();
  if (scene.desk.open && reader_.working() &&
      draw_at_work(scene, "reading-print", "Reading designators from the photo …", reader_.progress(), ImVec2(l.window.x / 2, l.top + l.strip + theme_.grid(46))))
    reader_.stop();
  draw_message(scene, l.window);
  if (state_.overview) draw_overview(scene, state_, l.window);
  draw_sheets(scene, l.window);
}

void BenchApp::draw_top(const Scene& scene, const Layout& l) {
  const Theme& t = theme_;
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(t.grid(3), t.grid(1.5F)));
  begin_panel(scene, "top", ImVec2(0, 0), ImVec2(l.window.x, l.top), t.panel);
  ImGui::PopStyleVar();
  const float y = t.grid(3.5F), left_w = t.grid(l.window.x < 1400 * t.scale ? 62 : 76);
  ImGui::SetCursorPos(ImVec2(t.grid(2), y));
  if (symbol_button(scene, "home", symbol::home, "Boards and jobs  " + key_words(Command::home))) intents_.push(intent::CloseFolder{});
  const Board& board = scene.layer().board;
  const std::string name = board.maker + (board.maker.empty() ? "" : " ") + board.model + (board.revision.empty() ? "" : " " + board.revision);
  const std::string second = scene.job() ? (scene.job()->reported.empty() ? "job" : "job: " + scene.job()->reported) : "board";
  ImGui::SetCursorPos(ImVec2(t.grid(12), t.grid(2.5F)));
  text(scene, fonts_.strong, t.text, shortened(fonts_.strong, name, left_w - t.grid(12)));
  ImGui::SetCursorPos(ImVec2(t.grid(12), t.grid(7.75F)));
  text(scene, fonts_.small, t.quiet, shortened(fonts_.small, second, left_w - t.grid(12)));
  const float right_w = 6 * t.grid(8.5F) + t.grid(24);
  if (scene.job()) {
    ImGui::SetCursorPos(ImVec2(left_w + t.grid(4), t.grid(1.5F)));
    draw_stage_line(scene, state_, l.window.x - left_w - right_w - t.grid(8));
  } else {
    ImGui::SetCursorPos(ImVec2(left_w + t.grid(4), y));
    if (button(scene, "new-job", std::string(symbol::plus) + "  New job on this board")) {
      page_.job_on = scene.desk.dir;
      page_.focus_first = true;
      intents_.push(intent::CloseFolder{});
    }
  }
  // Saving goes on by itself; this says where it stands.
  const std::string doing = desk_.doing();
  const std::string saved = doing == "save" ? "Saving …" : !doing.empty() ? "Working …" : scene.desk.unsaved ? "Saves soon" : "Saved";
  const float words_w = fonts_.small->CalcTextSizeA(fonts_.small->FontSize, FLT_MAX, 0, saved.c_str()).x;
  ImGui::SetCursorPos(ImVec2(l.window.x - 6 * t.grid(8.5F) - t.grid(5) - words_w, t.grid(7.5F)));
  text(scene, fonts_.small, t.quiet, saved);
  tooltip(scene, "What you did is on the disk already; the file others read follows when the hands rest.", key_words(Command::save));
  // Above it, who else is here and what is disputed; the line opens the sheet about both.
  const std::string shared = sharing_words(scene.desk);
  const std::string opener = shared.empty() ? "Shared" : shared;
  const bool pressing = !disputes_of(scene.desk.snapshot).empty() || scene.desk.kept_here;
  const float opener_w = fonts_.small->CalcTextSizeA(fonts_.small->FontSize, FLT_MAX, 0, opener.c_str()).x + t.grid(2);
  ImGui::SetCursorPos(ImVec2(l.window.x - 6 * t.grid(8.5F) - t.grid(4) - opener_w, t.grid(1.5F)));
  ImGui::PushFont(fonts_.small);
  ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, ImVec2(t.grid(1), t.grid(0.5F)));
  ImGui::PushStyleColor(ImGuiCol_Button, 0);
  ImGui::PushStyleColor(ImGuiCol_ButtonHovered, t.hover);
  ImGui::PushStyleColor(ImGuiCol_Text, pressing ? t.doubtful : shared.empty() ? t.quiet : t.text);
  if (ImGui::Button((opener + "##shared").c_str())) sheet_.shown = !sheet_.shown;
  ImGui::PopStyleColor(3);
  ImGui::PopStyleVar();
  ImGui::PopFont();
  anchors_.note("shared");
  tooltip(scene, "Who else is here, disputes, earlier versions", key_words(Command::sharing));
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(t.grid(0.5F), 0));
  ImGui::SetCursorPos(ImVec2(l.window.x - 6 * t.grid(8.5F) - t.grid(2), y));
  if (symbol_button(scene, "undo", symbol::undo, scene.desk.undo_name.empty() ? "Nothing to undo" : "Undo: " + scene.desk.undo_name, false, !scene.desk.undo_name.empty()))
    intents_.push(intent::Undo{});
  ImGui::SameLine();
  if (symbol_button(scene, "redo", symbol::redo, scene.desk.redo_name.empty() ? "Nothing to redo" : "Redo: " + scene.desk.redo_name, false, !scene.desk.redo_name.empty()))
    intents_.push(intent::Redo{});
  ImGui::SameLine();
  if (symbol_button(scene, "save", symbol::save, "Save now  " + key_words(Command::save))) intents_.push(intent::Save{});
  ImGui::SameLine();
  if (symbol_button(scene, "export", symbol::out, "Export the layer  " + key_words(Command::export_layer))) intents_.push(intent::ExportLayer{});
  ImGui::SameLine();
  if (symbol_button(scene, "theme", symbol::sun, "Dark, light, high contrast  " + key_words(Command::theme))) ask_for(Command::theme);
  ImGui::SameLine();
  if (symbol_button(scene, "help", symbol::help, "Keys  " + key_words(Command::help), state_.overview)) state_.overview = !state_.overview;
  ImGui::PopStyleVar();
  end_panel();
}

void BenchApp::draw_bench(const Scene& scene, const Layout& l) {
  const Theme& t = theme_;
  const float body = l.window.y - l.top - l.bottom;
  const ImVec2 pad(t.grid(3), t.grid(3));
  if (l.left > 0) {
    ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, pad);
    begin_panel(scene, "worklist", ImVec2(0, l.top), ImVec2(l.left, body), t.panel);
    ImGui::PopStyleVar();
    draw_worklist(scene, state_);
    end_panel();
  }
  // The strip, the photo and the line under it.
  const ImVec2 middle(l.left, l.top), middle_size(l.window.x - l.left - l.right, body);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(t.grid(2), t.grid(1.5F)));
  begin_panel(scene, "strip", middle, ImVec2(middle_size.x, l.strip), t.panel);
  draw_tool_strip(scene, state_);
  end_panel();
  ImGui::PopStyleVar();
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(0, 0));
  begin_panel(scene, "photos", ImVec2(middle.x, middle.y + l.strip), ImVec2(middle_size.x, middle_size.y - l.strip - l.status), t.bench);
  const ImVec2 photos_min(middle.x, middle.y + l.strip), photos_max(middle.x + middle_size.x, middle.y + middle_size.y - l.status);
  PaneLook look;
  if (state_.readings.shown && scene.job()) draw_readings_sheet(scene, state_, photos_min, photos_max);
  else {
    look = draw_panes(scene, state_, photos_min, photos_max);
    if (state_.stage == Stage::before_lifting) draw_heated(scene, card_.before_lift, state_.shown, look);
    draw_covering(scene, cover_, look);
    draw_proposals_on_photo(scene, reader_, look);
    if (list_preview_) draw_list_on_photo(scene, *list_preview_, look);
  }
  end_panel();
  ImGui::PopStyleVar();
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(t.grid(3), t.grid(0.5F)));
  begin_panel(scene, "status", ImVec2(middle.x, middle.y + middle_size.y - l.status), ImVec2(middle_size.x, l.status), t.panel);
  draw_status(scene, state_, look, state_.readings.shown && scene.job() ? std::string("Choose a row to see its mark")
                                                      : state_.registering.on ? registering_hint(scene.desk, state_) : state_.tying.on ? tie_hint(state_) : tool_hint(state_, look.map != nullptr));
  end_panel();
  ImGui::PopStyleVar();
  if (l.right > 0) {
    ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, pad);
    ImGui::SetNextWindowContentSize(ImVec2(l.right - 2 * t.grid(3), 0));
    begin_panel(scene, "card", ImVec2(l.window.x - l.right, l.top), ImVec2(l.right, body + l.roll), t.panel);
    ImGui::PopStyleVar();
    // Tab goes from field to field only while one is typed in. A field left by Enter leaves the focus with these rows, which,
    // unlike the panels, have navigation: Tab would show the other side and open their first field as well.
    ImGui::BeginChild("card-rows", ImVec2(0, 0), false, ImGui::GetActiveID() != 0 ? ImGuiWindowFlags_None : ImGuiWindowFlags_NoNavInputs);
    if (state_.registering.on)
      draw_registering(scene, state_);
    else if (finder_.found(state_.pane[0].photo))
      draw_found(scene, state_, finder_);
    else if (reader_.is_asking(state_.pane[0].photo))
      draw_proposals(scene, state_, reader_);
    else
      draw_card(scene, state_, card_);
    ImGui::EndChild();
    end_panel();
  }
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(t.grid(3), t.grid(2)));
  // The card goes down beside the roll; the entry line's verdict needs the whole width.
  if (l.roll > 0) {
    begin_panel(scene, "roll", ImVec2(0, l.window.y - l.bottom), ImVec2(l.window.x - l.right, l.roll), t.panel);
    draw_photo_roll(scene, state_, l.roll - t.grid(4));
    end_panel();
  }
  begin_panel(scene, "bottom", ImVec2(0, l.window.y - l.bottom + l.roll), ImVec2(l.window.x, l.bottom - l.roll), t.panel);
  ImGui::PopStyleVar();
  ImGui::SetCursorPos(ImVec2(t.grid(3), t.grid(2)));
  draw_entry_line(scene, state_);
  end_panel();
  // Hairlines between the panels: a window of their own, over the panels and under whatever pops up.
  begin_lines(l.window);
  ImDrawList& top = *ImGui::GetWindowDrawList();
  top.AddLine(ImVec2(0, l.window.y - l.bottom), ImVec2(l.window.x - l.right, l.window.y - l.bottom), t.line);
  if (l.right > 0) top.AddLine(ImVec2(l.window.x - l.right, l.top + body + l.roll), ImVec2(l.window.x, l.top + body + l.roll), t.line);
  top.AddLine(ImVec2(0, l.top), ImVec2(l.window.x, l.top), t.line);
  if (l.left > 0) top.AddLine(ImVec2(l.left, l.top), ImVec2(l.left, l.top + body), t.line);
  if (l.right > 0) top.AddLine(ImVec2(l.window.x - l.right, l.top), ImVec2(l.window.x - l.right, l.top + body + l.roll), t.line);
  ImGui::End();
  use_keys(scene, look);
}

void BenchApp::draw_message(const Scene& scene, ImVec2 window) {
  if (message_.empty() || ImGui::GetTime() > message_until_s_ || (message_stage_ && *message_stage_ != state_.stage)) return message_.clear();
  const Theme& t = theme_;
  const float width = std::min(window.x * 0.6F, t.grid(180));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(t.grid(4), t.grid(1.5F)));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, 6 * t.scale);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 1);
  ImGui::PushStyleColor(ImGuiCol_WindowBg, t.raised);
  // Over the photo's upper edge; under a table, whose buttons lie there.
  if (view_->open && state_.readings.shown)
    ImGui::SetNextWindowPos(ImVec2(window.x / 2, window.y - layout().bottom - layout().status - t.grid(3)), 0, ImVec2(0.5F, 1));
  else
    ImGui::SetNextWindowPos(ImVec2(window.x / 2, view_->open ? layout().top + layout().strip + t.grid(3) : t.grid(6)), 0, ImVec2(0.5F, 0));
  ImGui::SetNextWindowSizeConstraints(ImVec2(0, 0), ImVec2(width, window.y / 3));
  ImGui::Begin("message", nullptr, ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_AlwaysAutoResize | ImGuiWindowFlags_NoFocusOnAppearing | ImGuiWindowFlags_NoSavedSettings);
  const float from = ImGui::GetCursorPosY(), cross = t.grid(8);
  const std::string words = std::string(message_is_trouble_ ? symbol::warning : symbol::check) + "  " + message_;
  const float high = fonts_.body->CalcTextSizeA(fonts_.body->FontSize, FLT_MAX, width - t.grid(14), words.c_str()).y;
  ImGui::SetCursorPosY(from + std::max(0.F, (cross - high) / 2));  // one line stands level with the cross beside it
  ImGui::PushTextWrapPos(width - t.grid(14));
  text(scene, fonts_.body, message_is_trouble_ ? t.bad : t.text, words);
  ImGui::PopTextWrapPos();
  ImGui::SameLine(0, t.grid(4));
  ImGui::SetCursorPosY(from);
  if (symbol_button(scene, "dismiss", symbol::cross, "")) message_.clear();
  ImGui::End();
  ImGui::PopStyleColor();
  ImGui::PopStyleVar(3);
}

void BenchApp::use_keys(const Scene& scene, const PaneLook& look) {
  if (pressed(Command::help)) state_.overview = !state_.overview;
  use_comfort_keys(scene);
  if (pressed(Command::cancel) && step_back_from_sheet()) return;
  if (!scene.desk.open) {
    if (pressed(Command::cancel)) state_.overview = false, page_.dropped.clear(), page_.job_on.clear();
    return;
  }
  if (pressed(Command::undo)) intents_.push(intent::Undo{});
  if (pressed(Command::redo)) intents_.push(intent::Redo{});
  if (pressed(Command::save)) intents_.push(intent::Save{});
  if (pressed(Command::export_layer)) intents_.push(intent::ExportLayer{});
  if (pressed(Command::sharing)) sheet_.shown = !sheet_.shown;
  if (pressed(Command::home)) intents_.push(intent::CloseFolder{});
  if (pressed(Command::search)) state_.focus_filter = true, state_.worklist_folded = false;
  if (pressed(Command::entry_line)) state_.focus_entry = true;
  if (pressed(Command::fold_worklist)) state_.worklist_folded = !state_.worklist_folded;
  if (pressed(Command::fold_card)) state_.card_folded = !state_.card_folded;
  if (pressed(Command::fold_roll)) state_.roll_folded = !state_.roll_folded;
  if (pressed(Command::fold_all)) {
    const bool any = !state_.worklist_folded || !state_.card_folded || !state_.roll_folded;
    state_.worklist_folded = state_.card_folded = state_.roll_folded = any;
  }
  const Id pane_photo = state_.pane[0].photo;
  if (pressed(Command::cancel)) {
    if (ImGui::IsPopupOpen("", ImGuiPopupFlags_AnyPopupId | ImGuiPopupFlags_AnyPopupLevel)) {
      ImGui::ClosePopupToLevel(0, true);  // a photo's sheet, before anything behind it
    } else if (sheet_.shown) {
      sheet_.shown = false;
    } else if (!cover_.photo.empty()) {
      cover_ = CoverState{};
    } else if (state_.tying.on) {
      state_.tying = Tying{};
    } else if (list_preview_) {
      list_preview_.reset();
    } else if (state_.overview) {
      state_.overview = false;
    } else if (!ImGui::GetIO().WantTextInput) {
      if (state_.ruler.on) state_.ruler.on = false;
      else if (!state_.gesture.picked.empty()) state_.gesture.picked.pop_back();
      else if (state_.registering.on) state_.registering = Registering{};
      else if (reader_.is_asking(pane_photo)) reader_.forget();
      else if (state_.tool != Tool::select) choose_tool(state_, Tool::select);
      else if (state_.panes != Panes::one) state_.panes = Panes::one;
      else state_.selected.clear(), state_.shown = Id{};
    }
  }
  PaneState& pane = state_.pane[state_.pane_in_hand];
  const ImVec2 middle = look.middle();
  if (pressed(Command::fit_photo)) pane.camera.zoom = 0;
  if (pressed(Command::zoom_in)) zoom_about(pane.camera, middle, look.hovered ? ImGui::GetIO().MousePos : middle, 1.25);
  if (pressed(Command::zoom_out)) zoom_about(pane.camera, middle, look.hovered ? ImGui::GetIO().MousePos : middle, 0.8);
  if (pressed(Command::full_size) && pane.camera.zoom > 0) zoom_about(pane.camera, middle, look.hovered ? ImGui::GetIO().MousePos : middle, 1 / pane.camera.zoom);
  if (pressed(Command::turn_view)) turn_quarter(pane.camera, 1);
  if (pressed(Command::turn_view_back)) turn_quarter(pane.camera, -1);
  if (pressed(Command::readings_table)) state_.readings.shown = scene.job() && !state_.readings.shown;
  if (pressed(Command::loupe)) state_.loupe = state_.loupe == LoupeMode::always ? LoupeMode::never : state_.loupe == LoupeMode::never ? LoupeMode::while_placing : LoupeMode::always;
  if (pressed(Command::labels)) state_.labels = static_cast<Labels>((static_cast<int>(state_.labels) + 1) % 3);
  if (pressed(Command::two_photos)) choose_panes(scene, state_, Panes::side_by_side);
  if (pressed(Command::wipe)) choose_panes(scene, state_, Panes::wipe);
  if (pressed(Command::blink)) choose_panes(scene, state_, Panes::blink);
  if (pressed(Command::difference)) intents_.push(intent::SeeDifference{});
  if (pressed(Command::register_photo)) {
    if (state_.registering.on) state_.registering = Registering{};
    else if (const DeskPhoto* photo = scene.desk.find_photo(pane.photo)) start_registering(scene, state_, *photo);
  }
  if (pressed(Command::other_side))
    if (const DeskPhoto* photo = scene.desk.find_photo(pane.photo)) {
      const Id other = photo_for_side(scene.desk, Id{}, photo->photo.side == Side::top ? Side::bottom : Side::top);
      if (!other.empty()) intents_.push(intent::ShowPhoto{other});
    }
  for (const auto& [command, step] : {std::pair{Command::next_photo, 1}, std::pair{Command::previous_photo, -1}})
    if (pressed(command) && !scene.desk.photos.empty()) {
      const int n = static_cast<int>(scene.desk.photos.size());
      int at = 0;
      for (int i = 0; i < n; ++i)
        if (scene.desk.photos[static_cast<std::size_t>(i)].photo.id == pane.photo) at = i;
      intents_.push(intent::ShowPhoto{scene.desk.photos[static_cast<std::size_t>((at + step + n) % n)].photo.id});
    }
  for (const auto& [command, step] : {std::pair{Command::next_mark, 1}, std::pair{Command::previous_mark, -1}, std::pair{Command::next_step, 1}, std::pair{Command::previous_step, -1}})
    if (pressed(command)) {
      const std::vector<WorklistRow>& rows = derived_.worklist(scene.desk, state_.stage, state_.filter);
      if (const Id* mark = neighbour_in_worklist(rows, state_.shown, step)) intents_.push(intent::ShowMark{*mark});
    }
  use_made_keys(scene, state_);
  // Enter and Delete answer a proposal while there is one.
  if (!reader_.is_asking(pane_photo)) use_mark_keys(scene, state_, look);
  use_step_keys(scene, state_, card_.before_lift);
  use_photo_keys(scene, state_);
}

void BenchApp::show_mark(const Scene& scene, const Id& id) {
  const MarkPtr mark = scene.layer().marks.find(id);
  if (!mark) return;
  select_only(state_, id);
  const Id photo = photo_for_side(scene.desk, state_.pane[state_.pane_in_hand].photo, mark->side);
  if (photo.empty()) return say("There is no photo of the " + std::string(side_name(mark->side)) + " yet.", true);
  show_photo(scene, state_, state_.pane_in_hand, photo);
  state_.jump_to = id;
}

void BenchApp::see_difference() {
  if (state_.panes == Panes::difference) {
    state_.panes = Panes::one;
    return;
  }
  const ComparedPair pair = likely_pair(*view_, state_.pane[0].photo, state_.panes == Panes::one ? Id{} : state_.pane[1].photo);
  if (pair.before.empty()) return say("That needs two registered photos of one side: from before and from after the work.", true);
  const ComparedPtr& compared = derived_.compared();
  if (state_.pane[0].photo != pair.before && state_.pane[0].photo != pair.after) state_.pane[0].photo = pair.after, state_.pane[0].camera.zoom = 0;
  state_.pane[1].photo = state_.pane[0].photo == pair.after ? pair.before : pair.after;
  if (compared && compared->difference && compared->before == pair.before && compared->after == pair.after) {
    state_.panes = Panes::difference;
    return;
  }
  show_difference_next_ = true;
  if (const std::string trouble = comparer_.compare(*view_, pair.before, pair.after); !trouble.empty()) say(trouble, true);
}

void BenchApp::carry_out(const Scene& scene) {
  for (const Intent& intent : intents_.take()) carry_out(scene, intent), lively_frames_ = 4;
}

void BenchApp::carry_out(const Scene& scene, const Intent& wanted) {
  const auto edited = [&] { last_edit_s_ = ImGui::GetTime(); };
  if (const auto* commit = std::get_if<intent::Commit>(&wanted)) {
    desk_.commit(commit->name, commit->edits);
    edited();
  } else if (std::holds_alternative<intent::Undo>(wanted)) {
    desk_.undo();
    edited();
  } else if (std::holds_alternative<intent::Redo>(wanted)) {
    desk_.redo();
    edited();
  } else if (std::holds_alternative<intent::Save>(wanted)) {
    desk_.save();
  } else if (const auto* open = std::get_if<intent::OpenFolder>(&wanted)) {
    show_next_ = Id{};
    if (open->typed && !is_document_folder(open->dir))
      faults_.refuse("open-path", page_.path, "Expected the path of a folder that holds a board (layer.json) or a job (job.json).");
    else
      desk_.open(open->dir);
  } else if (const auto* at = std::get_if<intent::OpenAtMark>(&wanted)) {
    show_in_ = at->dir, show_next_ = at->mark;
    if (!view_->open || view_->dir != at->dir) desk_.open(at->dir);
  } else if (std::holds_alternative<intent::CloseFolder>(wanted)) {
    desk_.close();
  } else if (const auto* board = std::get_if<intent::NewBoard>(&wanted)) {
    waiting_photos_ = board->photos;
    desk_.create_board(board->dir, board->board);
  } else if (const auto* job = std::get_if<intent::NewJob>(&wanted)) {
    Job opened = job->job;
    opened.technician = session_.technician;
    desk_.create_job(job->dir, job->board_dir, std::move(opened));
  } else if (const auto* photos = std::get_if<intent::AddPhotos>(&wanted)) {
    add_photos(photos->files, photos->side, false);
  } else if (const auto* find = std::get_if<intent::FindPlace>(&wanted)) {
    state_.registering = Registering{};
    if (!finder_.look_for(*view_, find->photo)) say("No other photo of this board is registered yet: pick points on this one.", true);
  } else if (const auto* compare = std::get_if<intent::Compare>(&wanted)) {
    if (const std::string trouble = comparer_.compare(*view_, compare->before, compare->after); !trouble.empty()) say(trouble, true);
  } else if (std::holds_alternative<intent::SeeDifference>(wanted)) {
    see_difference();
  } else if (const auto* square = std::get_if<intent::SeeSquareOn>(&wanted)) {
    if (const std::string trouble = maker_.square_on(*view_, square->photo); !trouble.empty()) say(trouble, true);
  } else if (std::holds_alternative<intent::SeeJoined>(wanted)) {
    const DeskPhoto* shown = view_->find_photo(state_.pane[0].photo);
    if (const std::string trouble = maker_.join(*view_, shown ? shown->photo.side : Side::top); !trouble.empty()) say(trouble, true);
  } else if (const auto* sharp = std::get_if<intent::SeeSharpness>(&wanted)) {
    if (const std::string trouble = maker_.see_sharpness(*view_, sharp->photo); !trouble.empty()) say(trouble, true);
  } else if (const auto* print = std::get_if<intent::ReadPrint>(&wanted)) {
    if (const std::string trouble = reader_.read(*view_, print->photo); !trouble.empty()) say(trouble, true);
  } else if (const auto* record = std::get_if<intent::MakeRecord>(&wanted)) {
    records_.make(*view_, record->audience, session_.now());
  } else if (const auto* copied = std::get_if<intent::CopyFiles>(&wanted)) {
    copy_files(copied->files);
  } else if (std::holds_alternative<intent::PasteClipboard>(wanted)) {
    pasting_ = true;
    clipboard_ = Task<ClipboardPictures>::start([](const TaskReins& reins) { return read_clipboard_pictures(reins.stop); });
  } else if (const auto* photo = std::get_if<intent::ShowPhoto>(&wanted)) {
    if (state_.registering.on) state_.registering = Registering{};
    show_photo(scene, state_, state_.pane_in_hand, photo->photo);
  } else if (const auto* region = std::get_if<intent::CoverRegion>(&wanted)) {
    state_.panes = Panes::one;
    show_photo(scene, state_, 0, region->photo);
    choose_tool(state_, Tool::select);
    state_.selected.clear();  // the arrow keys move a corner now
    cover_ = CoverState{region->photo, std::nullopt};
    message_.clear();  // what to do next is said where it stood
  } else if (const auto* mark = std::get_if<intent::ShowMark>(&wanted)) {
    show_mark(scene, mark->mark);
  } else if (std::holds_alternative<intent::ExportLayer>(wanted)) {
    // Beside the document, where a person finds it; the library's own copy is only changed by a merge.
    const std::filesystem::path file = view_->dir / "shared" / "layer.json";
    desk_.run("export the layer", [file](Folder& folder) -> Result<std::string> {
      const auto done = export_layer(folder, file);
      if (!done) return done.problem();
      const std::filesystem::path bundle = file.parent_path() / (folder_name(folder.now().layer->board.model) + ".zip");
      const auto zip = export_bundle(folder, bundle);
      if (!zip) return zip.problem();
      return "Exported " + std::to_string(folder.now().layer->marks.size()) + " marks to " + file.string() + ", and with the photos in one file to " + bundle.filename().string() +
             (done->words_left_out > 0 ? "; " + std::to_string(done->words_left_out) + " private words in texts were left out" : "") +
             (done->counts_left_out.empty() ? "" : "; the counts of what cured were left out, as the shop's number could not be kept: " + done->counts_left_out);
    });
  } else if (const auto* line = std::get_if<intent::EnterLine>(&wanted)) {
    if (settings_.flash || settings_.sound)
      if (const auto verdict = preview_entry(view_->snapshot, line->text, session_.now()).verdict; verdict && is_out_of_limits(*verdict)) alarm_.raise(settings_.flash, settings_.sound);
    desk_.commit("", entry_edits(scene, line->text));
    edited();
  } else if (const auto* work = std::get_if<intent::Work>(&wanted)) {
    desk_.run(work->what, work->work);
    edited();
  } else if (const auto* watched = std::get_if<intent::Watch>(&wanted)) {
    std::error_code error;
    if (!watched->folder.empty() && !std::filesystem::is_directory(watched->folder, error))
      return faults_.refuse("watch-folder", watched->folder.string(), "Expected a folder that is there: the one your camera's program saves into.");
    state_.watched = watched->folder;
    watch_ = watched->folder.empty() ? nullptr : std::make_shared<PhotoWatch>(watched->folder);
  } else if (const auto* words = std::get_if<intent::Say>(&wanted)) {
    say(words->text, words->trouble);
    if (words->passing) message_stage_ = state_.stage;
  }
}

}  // namespace boardlore
