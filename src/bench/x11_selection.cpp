#include "bench/x11_selection.h"

#ifdef BOARDLORE_HAS_X11

#include <X11/Xatom.h>
#include <X11/Xlib.h>
#include <poll.h>

#include <chrono>
#include <cstring>
#include <memory>

namespace boardlore {
namespace {

constexpr std::size_t most_bytes = std::size_t{256} << 20U;
using Clock = std::chrono::steady_clock;

class Selection {
 public:
  explicit Selection(const std::stop_token& stop) : stop_(stop) {
    display_ = XOpenDisplay(nullptr);
    if (!display_) return;
    window_ = XCreateSimpleWindow(display_, DefaultRootWindow(display_), 0, 0, 1, 1, 0, 0, 0);
    XSelectInput(display_, window_, PropertyChangeMask);
    place_ = XInternAtom(display_, "BOARDLORE_CLIPBOARD", False);
  }
  Selection(const Selection&) = delete;
  Selection& operator=(const Selection&) = delete;
  ~Selection() {
    if (!display_) return;
    XDestroyWindow(display_, window_);
    XCloseDisplay(display_);
  }

  unsigned long owner() { return display_ ? XGetSelectionOwner(display_, XInternAtom(display_, "CLIPBOARD", False)) : 0; }

  std::optional<std::string> bytes(const char* kind) {
    if (!display_) return std::nullopt;
    const Atom clipboard = XInternAtom(display_, "CLIPBOARD", False);
    if (XGetSelectionOwner(display_, clipboard) == 0) return std::nullopt;
    XConvertSelection(display_, clipboard, XInternAtom(display_, kind, False), place_, window_, CurrentTime);
    limit_ = Clock::now() + std::chrono::seconds(4);
    XEvent event;
    if (!wait_for(event, [](const XEvent& e) { return e.type == SelectionNotify; })) return std::nullopt;
    if (event.xselection.property == 0) return std::nullopt;  // refused
    Piece first = take();
    if (first.type != XInternAtom(display_, "INCR", False)) return first.whole ? std::optional(std::move(first.bytes)) : std::nullopt;
    // Piece after piece: the owner puts the next one when the last was deleted; an empty one ends it.
    std::string all;
    while (wait_for(event, [&](const XEvent& e) {
      return e.type == PropertyNotify && e.xproperty.atom == place_ && e.xproperty.state == PropertyNewValue;
    })) {
      limit_ = Clock::now() + std::chrono::seconds(4);
      const Piece piece = take();
      if (!piece.whole || all.size() + piece.bytes.size() > most_bytes) return std::nullopt;
      if (piece.bytes.empty()) return all;
      all += piece.bytes;
    }
    return std::nullopt;
  }

  // Atoms are compared, never named: asking for the name of one that is none ends the program in Xlib.
  std::vector<std::string> offered(const std::vector<std::string>& wanted) {
    std::vector<std::string> found;
    const std::optional<std::string> atoms = bytes("TARGETS");
    if (!atoms) return found;
    const std::size_t count = atoms->size() / sizeof(long);  // properties of 32 bits come as longs
    for (const std::string& kind : wanted) {
      const Atom looked_for = XInternAtom(display_, kind.c_str(), False);
      for (std::size_t i = 0; i < count; ++i) {
        Atom atom = 0;
        std::memcpy(&atom, atoms->data() + i * sizeof(long), sizeof atom);
        if (atom == looked_for) {
          found.push_back(kind);
          break;
        }
      }
    }
    return found;
  }

 private:
  struct Piece {
    Atom type = 0;
    std::string bytes;
    bool whole = false;
  };

  // The property, which is deleted: that asks the owner for the next one.
  Piece take() {
    Piece piece;
    int format = 0;
    unsigned long items = 0, left = 0;
    unsigned char* data = nullptr;
    if (XGetWindowProperty(display_, window_, place_, 0, static_cast<long>(most_bytes / 4), True, AnyPropertyType, &piece.type, &format, &items, &left,
                           &data) != 0)
      return piece;
    const std::size_t item = format == 32 ? sizeof(long) : static_cast<std::size_t>(format / 8);
    if (data) piece.bytes.assign(reinterpret_cast<const char*>(data), items * item);
    if (data) XFree(data);
    piece.whole = left == 0;
    return piece;
  }

  template <class Wanted>
  bool wait_for(XEvent& event, Wanted wanted) {
    while (!stop_.stop_requested() && Clock::now() < limit_) {
      while (XPending(display_) > 0) {
        XNextEvent(display_, &event);
        if (wanted(event)) return true;
      }
      pollfd ready{ConnectionNumber(display_), POLLIN, 0};
      poll(&ready, 1, 50);
    }
    return false;
  }

  std::stop_token stop_;
  Display* display_ = nullptr;
  ::Window window_ = 0;
  Atom place_ = 0;
  Clock::time_point limit_;
};

}  // namespace

std::vector<std::string> clipboard_kinds(const std::vector<std::string>& wanted, const std::stop_token& stop) {
  return Selection(stop).offered(wanted);
}

std::optional<std::string> clipboard_bytes(const std::string& kind, const std::stop_token& stop) { return Selection(stop).bytes(kind.c_str()); }

unsigned long clipboard_owner() { return Selection({}).owner(); }

}  // namespace boardlore

#else

namespace boardlore {

std::vector<std::string> clipboard_kinds(const std::vector<std::string>&, const std::stop_token&) { return {}; }
std::optional<std::string> clipboard_bytes(const std::string&, const std::stop_token&) { return std::nullopt; }
unsigned long clipboard_owner() { return 0; }

}  // namespace boardlore

#endif
