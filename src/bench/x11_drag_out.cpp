#include "bench/x11_drag_out.h"

#ifdef BOARDLORE_HAS_X11

#include <X11/Xatom.h>
#include <poll.h>

#include <array>
#include <chrono>
#include <cstdint>
#include <utility>

#include "bench/x11_answer.h"

namespace boardlore {
namespace {

using Steady = std::chrono::steady_clock;
using namespace std::chrono_literals;

constexpr int look_every_ms = 10;
constexpr auto look_again_after = 200ms;  // windows come and go under a pointer that rests
constexpr auto status_within = 2s;        // once the button was let go
constexpr auto finished_within = 5s;      // after the last sign of the target's life
constexpr long our_version = 5, least_version = 3;

struct Target {
  ::Window window = 0;   // the one that is named
  ::Window mailbox = 0;  // the one that messages are sent to: itself, or its proxy
  long version = 0;
  bool operator==(const Target&) const = default;
};

struct Point {
  int x = 0, y = 0;
  bool operator==(const Point&) const = default;
};

}  // namespace

// Looks where the pointer is and whether the button is held, and never grabs: while the button is down SDL holds the pointer for its
// own connection, so that a grab of ours would fail, and no other window hears of the pointer anyway. The cursor is the one of
// SDL's window, which the frame sets; the button's end comes to the frame as ever. So this thread can fail or be late without a
// pointer that stays caught.
class X11DragOut::Source {
 public:
  Source(::Window own, std::vector<Offered> offered, std::shared_ptr<Shared> shared) : own_(own), offered_(std::move(offered)), shared_(std::move(shared)), display_(XOpenDisplay(nullptr)) {}
  Source(const Source&) = delete;
  Source& operator=(const Source&) = delete;
  ~Source() {
    if (display_) XCloseDisplay(display_);
  }

  End drag(const std::stop_token& stop) {
    if (!display_ || !fit_in_a_request(display_, offered_) || !take_selection()) return End::nowhere;
    Steady::time_point looked;
    for (;;) {
      take_events();
      if (stop.stop_requested() || shared_->cancel || lost_) return leave(), End::cancelled;
      const auto [root, at, held] = pointer();
      if (!(at == at_) || Steady::now() - looked > look_again_after) look_under(root, at), looked = Steady::now();
      if (!held) return let_go(stop);
      send_position();
      wait();
    }
  }

 private:
  Atom atom(const char* name) { return XInternAtom(display_, name, False); }

  struct Pointer {
    ::Window root;
    Point at;
    bool held;
  };
  Pointer pointer() {
    ::Window root = 0, child = 0;
    int x = 0, y = 0, inside_x = 0, inside_y = 0;
    unsigned mask = 0;
    XQueryPointer(display_, DefaultRootWindow(display_), &root, &child, &x, &y, &inside_x, &inside_y, &mask);
    return {root, {x, y}, (mask & Button1Mask) != 0};
  }

  // Owned with the server's own time, which targets hand back when they ask for the data (ICCCM 2.1).
  bool take_selection() {
    enter_ = atom("XdndEnter"), position_ = atom("XdndPosition"), status_ = atom("XdndStatus"), leave_ = atom("XdndLeave"), drop_ = atom("XdndDrop"), finished_ = atom("XdndFinished");
    aware_ = atom("XdndAware"), proxy_ = atom("XdndProxy"), selection_ = atom("XdndSelection"), copy_ = atom("XdndActionCopy"), private_ = atom("XdndActionPrivate");
    window_ = XCreateSimpleWindow(display_, DefaultRootWindow(display_), 0, 0, 1, 1, 0, 0, 0);
    XSelectInput(display_, window_, PropertyChangeMask);
    XChangeProperty(display_, window_, selection_, XA_INTEGER, 32, PropModeReplace, nullptr, 0);
    XEvent event;
    XWindowEvent(display_, window_, PropertyChangeMask, &event);
    time_ = event.xproperty.time;
    std::vector<Atom> kinds;
    for (const Offered& one : offered_) kinds.push_back(atom(one.kind.c_str()));
    XChangeProperty(display_, window_, atom("XdndTypeList"), XA_ATOM, 32, PropModeReplace, reinterpret_cast<const unsigned char*>(kinds.data()), static_cast<int>(kinds.size()));
    XSetSelectionOwner(display_, selection_, window_, time_);
    return XGetSelectionOwner(display_, selection_) == window_;
  }

  // A property of one 32-bit item; 0: not there, or the window is gone.
  unsigned long item_of(::Window window, Atom property) {
    Atom type = 0;
    int format = 0;
    unsigned long items = 0, left = 0, value = 0;
    unsigned char* data = nullptr;
    if (XGetWindowProperty(display_, window, property, 0, 1, False, AnyPropertyType, &type, &format, &items, &left, &data) != 0) return 0;
    if (data && format == 32 && items > 0) value = *reinterpret_cast<const unsigned long*>(data);
    if (data) XFree(data);
    return value;
  }

  // A proxy names itself as its own, else it is a leftover of a program that is gone.
  Target target_at(::Window window) {
    const ::Window proxy = item_of(window, proxy_), mailbox = proxy != 0 && item_of(proxy, proxy_) == proxy ? proxy : window;
    const auto version = static_cast<long>(item_of(mailbox, aware_));
    return version < least_version ? Target{} : Target{window, mailbox, std::min(version, our_version)};
  }

  // From the root down along what is in view at that point; windows that take drops are outermost ones (since version 3), under
  // the frames of a window manager.
  void look_under(::Window root, Point at) {
    at_ = at;
    Target found;
    bool own = false;
    ::Window window = root;
    for (int depth = 0; depth < 64 && found.window == 0; ++depth) {
      int x = 0, y = 0;
      ::Window child = 0;
      if (!XTranslateCoordinates(display_, root, window, at.x, at.y, &x, &y, &child) || child == 0) break;
      window = child;
      if ((own = window == own_)) break;
      found = target_at(window);
    }
    if (!own && found.window == 0) found = target_at(root);  // a desktop's own, by its proxy
    if (!(found == target_)) {
      leave();
      if (found.window != 0) enter(found);
    }
    if (target_.window != 0) due_ = true;
    else shared_->over = own ? Over::own_window : Over::nothing;
  }

  void send(Atom message, std::array<long, 4> data) {
    XEvent event{};
    event.xclient.type = ClientMessage;
    event.xclient.window = target_.window;
    event.xclient.message_type = message;
    event.xclient.format = 32;
    event.xclient.data.l[0] = static_cast<long>(window_);
    for (std::size_t i = 0; i < data.size(); ++i) event.xclient.data.l[i + 1] = data[i];
    XSendEvent(display_, target_.mailbox, False, NoEventMask, &event);
    XFlush(display_);
  }

  void enter(const Target& found) {
    target_ = found;
    accepted_ = awaiting_ = quiet_ = false, sent_ = Point{-32768, -32768};
    shared_->over = Over::asked;
    for (const ::Window window : {target_.window, target_.mailbox}) XSelectInput(display_, window, StructureNotifyMask);  // told when it dies
    std::array<long, 4> data{target_.version << 24 | (offered_.size() > 3 ? 1 : 0)};
    for (std::size_t i = 0; i < offered_.size() && i < 3; ++i) data[i + 1] = static_cast<long>(atom(offered_[i].kind.c_str()));
    send(enter_, data);
    due_ = true;
  }

  void forget_target() {
    target_ = Target{};
    accepted_ = awaiting_ = due_ = quiet_ = false;
    shared_->over = Over::nothing;
  }

  void leave() {
    if (target_.window == 0) return;
    send(leave_, {});
    for (const ::Window window : {target_.window, target_.mailbox}) XSelectInput(display_, window, NoEventMask);
    forget_target();
  }

  // One at a time: while the target has not answered, only the last place is kept.
  void send_position() {
    if (target_.window == 0 || !due_ || awaiting_) return;
    due_ = false;
    const bool quiet = quiet_ && at_.x >= quiet_from_.x && at_.y >= quiet_from_.y && at_.x < quiet_to_.x && at_.y < quiet_to_.y;  // it wants to hear of no place in there
    if (at_ == sent_ || quiet) return;
    sent_ = at_;
    awaiting_ = true;
    send(position_, {0, static_cast<long>(static_cast<std::uint32_t>(at_.x) << 16U | (static_cast<std::uint32_t>(at_.y) & 0xFFFFU)), static_cast<long>(time_), static_cast<long>(copy_)});
  }

  void take_status(const XClientMessageEvent& message) {
    if (target_.window == 0 || static_cast<::Window>(message.data.l[0]) != target_.window) return;  // of one that was left
    awaiting_ = false;
    const auto bits = static_cast<unsigned long>(message.data.l[1]), from = static_cast<unsigned long>(message.data.l[2]), size = static_cast<unsigned long>(message.data.l[3]);
    const auto action = static_cast<Atom>(message.data.l[4]);
    // A target that would rather move the file away would take it out of the job's folder: that is no taking.
    accepted_ = (bits & 1U) != 0 && (action == copy_ || action == private_);
    const int width = static_cast<int>(size >> 16U & 0xFFFFU), height = static_cast<int>(size & 0xFFFFU);
    quiet_ = (bits & 2U) == 0 && width > 0 && height > 0;
    quiet_from_ = {static_cast<std::int16_t>(from >> 16U & 0xFFFFU), static_cast<std::int16_t>(from & 0xFFFFU)};
    quiet_to_ = {quiet_from_.x + width, quiet_from_.y + height};
    shared_->over = accepted_ ? Over::accepted : Over::refused;
  }

  void take_events() {
    while (XPending(display_) > 0) {
      XEvent event;
      XNextEvent(display_, &event);
      if (event.type == SelectionRequest) answer_request(display_, event.xselectionrequest, offered_), last_sign_ = Steady::now();
      if (event.type == SelectionClear) lost_ = true;
      if (event.type == DestroyNotify && (event.xdestroywindow.window == target_.window || event.xdestroywindow.window == target_.mailbox)) forget_target();
      if (event.type != ClientMessage) continue;
      const XClientMessageEvent& message = event.xclient;
      if (message.message_type == status_) take_status(message);
      if (message.message_type == finished_ && target_.window != 0 && static_cast<::Window>(message.data.l[0]) == target_.window)
        finish_ = target_.version < 5 || (message.data.l[1] & 1) != 0 ? End::taken : End::refused;  // whether it took it is told since version 5
    }
  }

  void wait() {
    XFlush(display_);
    pollfd ready{ConnectionNumber(display_), POLLIN, 0};
    poll(&ready, 1, look_every_ms);
  }

  End let_go(const std::stop_token& stop) {
    const auto given_up = [&] { return stop.stop_requested() || shared_->cancel || lost_; };
    if (target_.window == 0) return End::nowhere;
    // What it last said may be of another place: it is asked about this one first.
    for (const auto until = Steady::now() + status_within; target_.window != 0 && (awaiting_ || due_) && Steady::now() < until && !given_up(); take_events()) {
      send_position();
      if (awaiting_) wait();
    }
    if (target_.window == 0) return End::no_answer;
    if (given_up()) return leave(), End::cancelled;
    if (!accepted_ || awaiting_) {
      const End end = awaiting_ ? End::no_answer : End::refused;
      leave();
      return end;
    }
    shared_->let_go = true;
    send(drop_, {0, static_cast<long>(time_)});
    // The selection must stand until the target has read it.
    for (last_sign_ = Steady::now(); !finish_ && target_.window != 0 && Steady::now() - last_sign_ < finished_within && !stop.stop_requested(); take_events()) wait();
    return finish_.value_or(End::no_answer);
  }

  const ::Window own_;
  const std::vector<Offered> offered_;
  const std::shared_ptr<Shared> shared_;
  Display* display_;
  ::Window window_ = 0;
  Time time_ = 0;
  Atom enter_ = 0, position_ = 0, status_ = 0, leave_ = 0, drop_ = 0, finished_ = 0, aware_ = 0, proxy_ = 0, selection_ = 0, copy_ = 0, private_ = 0;
  Target target_;
  Point at_{-32768, -32768}, sent_, quiet_from_, quiet_to_;
  bool awaiting_ = false, due_ = false, accepted_ = false, quiet_ = false, lost_ = false;
  std::optional<End> finish_;
  Steady::time_point last_sign_;
};

void X11DragOut::begin(unsigned long own, std::vector<Offered> offered) {
  dragging_ = {};
  survive_vanished_windows();
  shared_ = std::make_shared<Shared>();
  told_ = false;
  dragging_ = std::jthread([own, offered = std::move(offered), shared = shared_](const std::stop_token& stop) { shared->end = static_cast<int>(Source(own, offered, shared).drag(stop)); });
}

}  // namespace boardlore

#else

namespace boardlore {

void X11DragOut::begin(unsigned long, std::vector<Offered>) {
  shared_ = std::make_shared<Shared>();
  shared_->end = static_cast<int>(End::nowhere);
  told_ = false;
}

}  // namespace boardlore

#endif

namespace boardlore {

bool X11DragOut::cancel() {
  if (!under_way() || shared_->let_go) return false;
  shared_->cancel = true;
  return true;
}

std::optional<X11DragOut::End> X11DragOut::take() {
  if (told_ || !shared_ || shared_->end < 0) return std::nullopt;
  told_ = true;
  return static_cast<End>(shared_->end.load());
}

}  // namespace boardlore
