// Files dragged out of the window: begun by pulling at what shows them, said beside the pointer, ended by X11DragOut.
//
// What a drag means inside the window goes on meanwhile: over the window itself no program is told anything. Without X11 (Wayland
// alone) that is all there is, and files leave by the clipboard.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "bench/x11_drag_out.h"

struct SDL_Window;

namespace boardlore {

struct Scene;

// How a handed-over file is named to a person: "later_top.jpg", "record.pdf and record.html", "3 files".
std::string spoken_files(const std::vector<std::filesystem::path>& files);

class DragOut {
 public:
  explicit DragOut(SDL_Window* window) : window_(window) {}

  // Whether the item just submitted is being pulled and nothing was begun by this press yet: a click stays a click.
  bool pulled(float threshold_px) const;
  // `meant_inside`: the drag means something in the window too, which shows it itself.
  void begin(std::vector<std::filesystem::path> files, bool meant_inside);
  // The pull ends, also inside the window; the item pulled at is let go. False: there was none.
  bool cancel();

  struct Ended {
    X11DragOut::End end{};
    std::vector<std::filesystem::path> files;
    bool over_nothing = false;  // let go over another program, which takes no drops
  };
  // Once a frame, before anything is drawn.
  std::optional<Ended> begin_frame();
  bool under_way() const { return x11_.under_way(); }
  // Another program lies under the pointer, also where its window covers this one.
  bool over_other() const { return x11_.over() != X11DragOut::Over::own_window; }
  bool accepted() const { return x11_.over() == X11DragOut::Over::accepted; }
  // The cursor, and what is dragged with what would become of it.
  void draw(const Scene& scene) const;

 private:
  SDL_Window* window_;
  X11DragOut x11_;
  std::vector<std::filesystem::path> files_;
  bool pulling_ = false, spent_ = false, meant_inside_ = false;
};

}  // namespace boardlore
