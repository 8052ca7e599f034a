#include "bench/x11_offer.h"

#ifdef BOARDLORE_HAS_X11

#include <poll.h>

#include <memory>
#include <utility>

#include "bench/x11_answer.h"

namespace boardlore {
namespace {

struct Close {
  void operator()(Display* display) const { XCloseDisplay(display); }
};

class Owner {
 public:
  explicit Owner(std::vector<Offered> offered) : offered_(std::move(offered)), display_(XOpenDisplay(nullptr)) {}

  bool take() {
    survive_vanished_windows();
    if (!display_ || !fit_in_a_request(display_.get(), offered_)) return false;
    window_ = XCreateSimpleWindow(display_.get(), DefaultRootWindow(display_.get()), 0, 0, 1, 1, 0, 0, 0);
    const Atom clipboard = XInternAtom(display_.get(), "CLIPBOARD", False);
    XSetSelectionOwner(display_.get(), clipboard, window_, CurrentTime);
    return XGetSelectionOwner(display_.get(), clipboard) == window_;
  }

  void serve(const std::stop_token& stop) {
    while (!stop.stop_requested()) {
      while (XPending(display_.get()) > 0) {
        XEvent event;
        XNextEvent(display_.get(), &event);
        if (event.type == SelectionClear) return;
        if (event.type == SelectionRequest) answer_request(display_.get(), event.xselectionrequest, offered_);
      }
      pollfd ready{ConnectionNumber(display_.get()), POLLIN, 0};
      poll(&ready, 1, 100);
    }
  }

 private:
  std::vector<Offered> offered_;
  std::unique_ptr<Display, Close> display_;
  ::Window window_ = 0;
};

}  // namespace

bool X11Offer::offer(std::vector<Offered> offered) {
  serving_ = {};
  auto owner = std::make_shared<Owner>(std::move(offered));
  if (!owner->take()) return false;
  serving_ = std::jthread([owner](const std::stop_token& stop) { owner->serve(stop); });
  return true;
}

}  // namespace boardlore

#else

namespace boardlore {

bool X11Offer::offer(std::vector<Offered>) { return false; }

}  // namespace boardlore

#endif
