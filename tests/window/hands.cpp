#include "support/places.h"
#include "window/hands.h"

#include <doctest/doctest.h>

#include <chrono>
#include <cstdlib>
#include <cstring>
#include <thread>

#include "bench/tasks.h"
#include "pictures/encode.h"

// Last: Xlib.h defines None, Bool and their like as macros.
#include <X11/XKBlib.h>
#include <X11/Xlib.h>
#include <X11/extensions/XTest.h>
#include <unistd.h>

namespace boardlore {
namespace {

using namespace std::chrono_literals;

constexpr auto patience = 60s;

}  // namespace

Hands::Hands(int width, int height, const std::string& name, int scale) : name_(name), width_(width), height_(height) {
  home_ = std::filesystem::temp_directory_path() / ("boardlore-window-" + name + "-" + std::to_string(width) + "-" + std::to_string(getpid()));
  std::filesystem::remove_all(home_);
  std::filesystem::create_directories(home_);
  setenv("BOARDLORE_LIBRARY", (home_ / "library").c_str(), 1);
  setenv("XDG_CACHE_HOME", (home_ / "cache").c_str(), 1);
  setenv("XDG_CONFIG_HOME", (home_ / "config").c_str(), 1);
  setenv("XDG_STATE_HOME", (home_ / "state").c_str(), 1);
  setenv("BOARDLORE_INDEX", (home_ / "shop.sqlite").c_str(), 1);
  setenv("BOARDLORE_SCALE", std::to_string(scale).c_str(), 1);
  WindowOptions options;
  options.width = width;
  options.height = height;
  auto window = Window::open(options);
  REQUIRE_MESSAGE(bool(window), (window ? "" : to_text(window.problem())));
  window_ = std::make_unique<Window>(std::move(*window));
  app_ = std::make_unique<BenchApp>(*window_, home_ / "library");
  display_ = XOpenDisplay(nullptr);
  REQUIRE(display_ != nullptr);
  SDL_SetWindowPosition(window_->sdl(), 0, 0);
  SDL_RaiseWindow(window_->sdl());
  for (int i = 0; i < 5; ++i) frame();
  SDL_GetWindowPosition(window_->sdl(), &window_x_, &window_y_);
}

Hands::~Hands() {
  if (display_) XCloseDisplay(display_);
  app_.reset();
  while (tasks_at_work > 0) std::this_thread::sleep_for(2ms);
  window_.reset();
  std::error_code ignored;
  std::filesystem::remove_all(home_, ignored);
}

void Hands::frame() {
  // An idle window waits for events: woken, or every look at it would take the time of that wait.
  SDL_Event wake{};
  wake.type = SDL_USEREVENT;
  SDL_PushEvent(&wake);
  app_->frame();
}

void Hands::take_in(int more) {
  XSync(display_, False);
  // The server has it; on a busy machine it may be a while until the window has it too.
  const auto until = std::chrono::steady_clock::now() + 250ms;
  for (SDL_PumpEvents(); !SDL_HasEvents(SDL_KEYDOWN, SDL_MOUSEWHEEL) && std::chrono::steady_clock::now() < until; SDL_PumpEvents())
    std::this_thread::sleep_for(2ms);
  std::this_thread::sleep_for(2ms);
  // One press or key a frame, as the window takes them.
  do frame();
  while (!window_->input().empty());
  for (int i = 0; i < more; ++i) frame();
}

bool Hands::settle(int least) {
  const auto until = std::chrono::steady_clock::now() + patience;
  for (int i = 0; i < least; ++i) frame();
  int quiet = 0;
  while (quiet < 3) {
    frame();
    quiet = app_->at_rest() ? quiet + 1 : 0;
    // What is under way needs the processor more than the picture of it does.
    if (quiet == 0) std::this_thread::sleep_for(20ms);
    if (std::chrono::steady_clock::now() > until) return false;
  }
  return true;
}

void Hands::move_to(float x, float y) {
  const int to_x = window_x_ + static_cast<int>(x), to_y = window_y_ + static_cast<int>(y);
  ::Window root = 0, child = 0;
  int at_x = 0, at_y = 0, inside_x = 0, inside_y = 0;
  unsigned held = 0;
  XQueryPointer(display_, DefaultRootWindow(display_), &root, &child, &at_x, &at_y, &inside_x, &inside_y, &held);
  if (at_x == to_x && at_y == to_y) {  // no event comes of it
    for (int i = 0; i < 2; ++i) frame();
    return;
  }
  XTestFakeMotionEvent(display_, -1, to_x, to_y, CurrentTime);
  take_in(1);
}

void Hands::press_at(float x, float y, int button) {
  ++clicks_;
  move_to(x, y);
  XTestFakeButtonEvent(display_, static_cast<unsigned>(button), True, CurrentTime);
  take_in(0);
}

void Hands::release(int button) {
  XTestFakeButtonEvent(display_, static_cast<unsigned>(button), False, CurrentTime);
  take_in(2);
}

void Hands::click_at(float x, float y, int button) {
  press_at(x, y, button);
  release(button);
}

void Hands::drag(float x0, float y0, float x1, float y1, int button) {
  press_at(x0, y0, button);
  for (int i = 1; i <= 6; ++i) move_to(x0 + (x1 - x0) * static_cast<float>(i) / 6, y0 + (y1 - y0) * static_cast<float>(i) / 6);
  release(button);
}

void Hands::wheel(float x, float y, int notches) {
  move_to(x, y);
  for (int i = 0; i < std::abs(notches); ++i)
    for (const int down : {True, False}) XTestFakeButtonEvent(display_, notches > 0 ? 4 : 5, down, CurrentTime);
  take_in(2);
}

void Hands::send_key(unsigned char code, bool down) { XTestFakeKeyEvent(display_, code, down ? True : False, CurrentTime); }

void Hands::key(KeySymbol symbol, std::initializer_list<KeySymbol> held) {
  for (const KeySymbol modifier : held) send_key(XKeysymToKeycode(display_, modifier), true);
  const KeyCode code = XKeysymToKeycode(display_, symbol);
  REQUIRE(code != 0);
  ++keys_;
  send_key(code, true);
  send_key(code, false);
  for (const KeySymbol modifier : held) send_key(XKeysymToKeycode(display_, modifier), false);
  take_in(1);
}

void Hands::type(const std::string& text) {
  keys_ += static_cast<int>(text.size());
  for (const char c : text) {
    const KeySym symbol = c == '\t' ? XK_Tab : static_cast<KeySym>(static_cast<unsigned char>(c));
    const KeyCode code = XKeysymToKeycode(display_, symbol);
    REQUIRE(code != 0);
    const bool shifted = XkbKeycodeToKeysym(display_, code, 0, 0) != symbol;
    if (shifted) send_key(XKeysymToKeycode(display_, XK_Shift_L), true);
    send_key(code, true);
    send_key(code, false);
    if (shifted) send_key(XKeysymToKeycode(display_, XK_Shift_L), false);
  }
  take_in(1);
}

void Hands::drop(const std::vector<std::filesystem::path>& files) {
  for (const auto& file : files) {
    SDL_Event event{};
    event.type = SDL_DROPFILE;
    event.drop.file = SDL_strdup(file.c_str());
    SDL_PushEvent(&event);
  }
  for (int i = 0; i < 3; ++i) frame();
}

bool Hands::on_screen(const std::string& anchor) {
  const Anchors::Rect* rect = app_->anchors().find(anchor);
  return rect && rect->min.x >= 0 && rect->min.y >= 0 && rect->max.x <= static_cast<float>(width_) && rect->max.y <= static_cast<float>(height_);
}

ImVec2 Hands::place(const std::string& anchor) {
  const Anchors::Rect* rect = app_->anchors().find(anchor);
  std::string there;
  if (!rect)
    for (const auto& [name, where] : app_->anchors().all()) there += name + " ";
  REQUIRE_MESSAGE(rect != nullptr, anchor << " is not on the screen; there are: " << there);
  return rect->middle();
}

void Hands::click(const std::string& anchor) {
  const ImVec2 at = place(anchor);
  INFO(anchor);
  REQUIRE(on_screen(anchor));
  click_at(at.x, at.y);
}

ImVec2 Hands::photo_to_screen(PhotoPoint point) {
  const Anchors::Rect* pane = app_->anchors().find("photo");
  REQUIRE(pane != nullptr);
  const ScreenPoint at = screen_from_photo(app_->state().pane[0].camera, pane->middle())(point);
  return ImVec2(static_cast<float>(at.x), static_cast<float>(at.y));
}

void Hands::shoot(const std::string& name) {
  for (int i = 0; i < 2; ++i) frame();
  int width = 0, height = 0;
  const std::string pixels = window_->pixels(&width, &height);
  Raster raster;
  raster.width_px = width, raster.height_px = height;
  raster.rgba.assign(pixels.begin(), pixels.end());
  const std::filesystem::path folder = places::window_pictures();
  std::filesystem::create_directories(folder);
  const auto written = write_png(folder / (name_ + "-" + name + "-" + std::to_string(width) + "x" + std::to_string(height) + ".png"), raster);
  CHECK(bool(written));
}

MarkPtr mark_called(Hands& hands, const std::string& refdes) {
  MarkPtr found;
  hands.app().desk_view()->snapshot.layer->marks.each([&](const MarkPtr& mark) {
    if (mark->refdes == refdes) found = mark;
  });
  return found;
}

}  // namespace boardlore
