// Hands for the window tests: an app in this process under a real X server, moved by real X events (XTEST
// extension), clicking on what the last frame drew by name. Screenshots go to the test output folder.
#pragma once

#include <X11/keysym.h>

#include <filesystem>
#include <memory>
#include <string>

#include "bench/app.h"

struct _XDisplay;  // Xlib.h stays out of the tests: its macros (None, Bool) do not get on with anybody

namespace boardlore {

using KeySymbol = unsigned long;

class Hands {
 public:
  // A fresh library and home in a temporary folder; the window at the given size, its type and distances times `scale`.
  Hands(int width, int height, const std::string& name, int scale = 1);
  ~Hands();
  Hands(const Hands&) = delete;
  Hands& operator=(const Hands&) = delete;

  BenchApp& app() { return *app_; }
  const std::filesystem::path& home() const { return home_; }

  void frame();
  // Frames until nothing is under way, at least `least`. False: still busy after 60 s.
  bool settle(int least = 4);
  // Fails the test where no such thing is on the screen.
  void click(const std::string& anchor);
  void click_at(float x, float y, int button = 1);
  void move_to(float x, float y);
  void press_at(float x, float y, int button = 1);
  void release(int button = 1);
  void drag(float x0, float y0, float x1, float y1, int button = 1);
  void wheel(float x, float y, int notches);
  // One key, with modifiers held: key(XK_z, {XK_Control_L}).
  void key(KeySymbol symbol, std::initializer_list<KeySymbol> held = {});
  // What was pressed so far: keys without modifiers, typed letters among them; buttons of the mouse.
  int keys_pressed() const { return keys_; }
  int clicks() const { return clicks_; }
  // Types ASCII text as keys.
  void type(const std::string& text);
  // As if the files had been dropped on the window.
  void drop(const std::vector<std::filesystem::path>& files);
  // The middle of a named thing.
  ImVec2 place(const std::string& anchor);
  bool on_screen(const std::string& anchor);
  // Where a point of the photo in the first pane lies on the screen.
  ImVec2 photo_to_screen(PhotoPoint point);
  // PNG of what is on the screen, "NAME-WIDTHxHEIGHT.png".
  void shoot(const std::string& name);

 private:
  void send_key(unsigned char code, bool down);
  void take_in(int more);  // what was sent to the X server so far, then some frames
  std::filesystem::path home_;
  std::string name_;
  int width_, height_;
  std::unique_ptr<Window> window_;
  std::unique_ptr<BenchApp> app_;
  _XDisplay* display_ = nullptr;
  int window_x_ = 0, window_y_ = 0;
  int keys_ = 0, clicks_ = 0;
};

// The mark of the open folder with this designator; nullptr: none.
MarkPtr mark_called(Hands& hands, const std::string& refdes);

}  // namespace boardlore
