#include "bench/x11_offer.h"

#ifdef BOARDLORE_HAS_X11

#include <X11/Xatom.h>
#include <X11/Xlib.h>
#include <poll.h>

#include <algorithm>
#include <array>
#include <memory>
#include <mutex>
#include <utility>

namespace boardlore {
namespace {

// Whoever asked may be gone when the answer arrives, which Xlib by itself would end the program for.
void survive_vanished_windows() {
  static int (*before)(Display*, XErrorEvent*) = nullptr;
  static std::once_flag once;
  std::call_once(once, [] { before = XSetErrorHandler([](Display* display, XErrorEvent* error) { return error->error_code == BadWindow || !before ? 0 : before(display, error); }); });
}

struct Close {
  void operator()(Display* display) const { XCloseDisplay(display); }
};

class Owner {
 public:
  Owner(std::string kind, std::string bytes) : kind_(std::move(kind)), bytes_(std::move(bytes)), display_(XOpenDisplay(nullptr)) {}

  bool take() {
    survive_vanished_windows();
    // What a single request carries is enough for close-ups; sending piece by piece is for larger things.
    if (!display_ || bytes_.size() + 1024 > 4 * static_cast<std::size_t>(std::max(XMaxRequestSize(display_.get()), XExtendedMaxRequestSize(display_.get())))) return false;
    window_ = XCreateSimpleWindow(display_.get(), DefaultRootWindow(display_.get()), 0, 0, 1, 1, 0, 0, 0);
    clipboard_ = atom("CLIPBOARD"), targets_ = atom("TARGETS"), type_ = atom(kind_.c_str());
    XSetSelectionOwner(display_.get(), clipboard_, window_, CurrentTime);
    return XGetSelectionOwner(display_.get(), clipboard_) == window_;
  }

  void serve(const std::stop_token& stop) {
    while (!stop.stop_requested()) {
      while (XPending(display_.get()) > 0) {
        XEvent event;
        XNextEvent(display_.get(), &event);
        if (event.type == SelectionClear) return;
        if (event.type == SelectionRequest) answer(event.xselectionrequest);
      }
      pollfd ready{ConnectionNumber(display_.get()), POLLIN, 0};
      poll(&ready, 1, 100);
    }
  }

 private:
  Atom atom(const char* name) { return XInternAtom(display_.get(), name, False); }

  void answer(const XSelectionRequestEvent& request) {
    XEvent reply{};
    reply.xselection = {SelectionNotify, 0, True, display_.get(), request.requestor, request.selection, request.target, 0, request.time};
    // A requestor of before ICCCM names no property; its target stands in (section 2.2).
    const Atom place = request.property != 0 ? request.property : request.target;
    if (request.target == targets_) {
      const std::array<Atom, 2> kinds{targets_, type_};
      XChangeProperty(display_.get(), request.requestor, place, XA_ATOM, 32, PropModeReplace, reinterpret_cast<const unsigned char*>(kinds.data()), static_cast<int>(kinds.size()));
      reply.xselection.property = place;
    } else if (request.target == type_) {
      XChangeProperty(display_.get(), request.requestor, place, type_, 8, PropModeReplace, reinterpret_cast<const unsigned char*>(bytes_.data()), static_cast<int>(bytes_.size()));
      reply.xselection.property = place;
    }
    XSendEvent(display_.get(), request.requestor, False, NoEventMask, &reply);
    XFlush(display_.get());
  }

  std::string kind_, bytes_;
  std::unique_ptr<Display, Close> display_;
  ::Window window_ = 0;
  Atom clipboard_ = 0, targets_ = 0, type_ = 0;
};

}  // namespace

bool X11Offer::offer(const std::string& kind, std::string bytes) {
  serving_ = {};
  auto owner = std::make_shared<Owner>(kind, std::move(bytes));
  if (!owner->take()) return false;
  serving_ = std::jthread([owner](const std::stop_token& stop) { owner->serve(stop); });
  return true;
}

}  // namespace boardlore

#else

namespace boardlore {

bool X11Offer::offer(const std::string&, std::string) { return false; }

}  // namespace boardlore

#endif
