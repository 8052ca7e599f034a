// Something dragged out of the window into another program's: the source's side of XDND (freedesktop.org, "Drag-and-Drop Protocol
// for the X Window System", version 5; targets of version 3 and later, as what came before asked for inner windows).
#pragma once

#include <atomic>
#include <memory>
#include <optional>
#include <thread>
#include <vector>

#include "bench/x11_offer.h"

namespace boardlore {

class X11DragOut {
 public:
  enum class Over { own_window, nothing, asked, refused, accepted };  // nothing: no program there that takes drops
  enum class End { taken, refused, nowhere, cancelled, no_answer };

  // From the X window `own`, while the first button is held, until it is let go; only ever offers a copy. Over `own` nobody is told
  // anything. A drag still under way is given up. Without an X server it ends at once, nowhere.
  void begin(unsigned long own, std::vector<Offered> offered);
  // Whoever the pointer is over is told that nothing will come. False: nothing is under way, or it was let go already.
  bool cancel();
  bool under_way() const { return shared_ && shared_->end < 0; }
  // As of the last look, also when the drag is over.
  Over over() const { return shared_ ? shared_->over.load() : Over::own_window; }
  // How it ended, once.
  std::optional<End> take();

 private:
  struct Shared {
    std::atomic<bool> cancel = false, let_go = false;
    std::atomic<Over> over = Over::own_window;
    std::atomic<int> end = -1;
  };
  class Source;
  std::shared_ptr<Shared> shared_;
  bool told_ = true;
  std::jthread dragging_;
};

}  // namespace boardlore
