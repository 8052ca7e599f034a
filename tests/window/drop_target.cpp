#include "window/drop_target.h"

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <future>
#include <mutex>
#include <optional>
#include <set>
#include <stop_token>
#include <thread>

// Last: Xlib.h defines None, Bool and their like as macros.
#include <X11/Xatom.h>
#include <X11/Xlib.h>
#include <X11/extensions/XTest.h>
#include <poll.h>

namespace boardlore {
namespace {

using Steady = std::chrono::steady_clock;

std::mutex ours_mutex;
std::set<Display*> ours;

// A source that is gone is no fault of the target; an error of anybody else that comes this far ends the test, as it would the program.
int only_our_own(Display* display, XErrorEvent* error) {
  const std::lock_guard lock(ours_mutex);
  if (ours.count(display) > 0) return 0;
  std::fprintf(stderr, "X error %d of request %d\n", error->error_code, error->request_code);
  std::abort();
}

}  // namespace

struct DropTarget::Inner {
  DropHabits habits;
  mutable std::mutex mutex;
  DropSeen seen;
  Display* display = nullptr;
  ::Window window = 0, mailbox = 0, source = 0;
  std::optional<Steady::time_point> answer_at;
  long kind = 0;
  std::jthread thread;

  Atom atom(const char* name) const { return XInternAtom(display, name, False); }

  void open(int x, int y, int width, int height) {
    display = XOpenDisplay(nullptr);
    {
      const std::lock_guard lock(ours_mutex);
      ours.insert(display);
    }
    XSetErrorHandler(only_our_own);
    window = mailbox = XCreateSimpleWindow(display, DefaultRootWindow(display), x, y, static_cast<unsigned>(width), static_cast<unsigned>(height), 0, 0, 0x335577);
    if (habits.by_proxy) {
      mailbox = XCreateSimpleWindow(display, DefaultRootWindow(display), -10, -10, 1, 1, 0, 0, 0);
      for (const ::Window at : {window, mailbox}) XChangeProperty(display, at, atom("XdndProxy"), XA_WINDOW, 32, PropModeReplace, reinterpret_cast<const unsigned char*>(&mailbox), 1);
    }
    const long version = habits.version;
    if (habits.aware) XChangeProperty(display, mailbox, atom("XdndAware"), XA_ATOM, 32, PropModeReplace, reinterpret_cast<const unsigned char*>(&version), 1);
    XSelectInput(display, window, StructureNotifyMask);
    XMapRaised(display, window);
    XEvent event;
    do XNextEvent(display, &event);
    while (event.type != MapNotify);
    // Where it really is: a display without a window manager leaves it, another need not.
    XSync(display, False);
  }

  void die() {
    if (!display) return;
    {
      const std::lock_guard lock(ours_mutex);
      ours.erase(display);
    }
    XCloseDisplay(display);
    display = nullptr;
  }

  void say(const char* message, long a, long b, long c, long d) {
    XEvent event{};
    event.xclient.type = ClientMessage;
    event.xclient.window = source;
    event.xclient.message_type = atom(message);
    event.xclient.format = 32;
    const long data[] = {static_cast<long>(window), a, b, c, d};
    std::copy(std::begin(data), std::end(data), event.xclient.data.l);
    XSendEvent(display, source, False, NoEventMask, &event);
    XFlush(display);
  }

  // The data asked for by a window that is gone when the question arrives, as that of a program that was ended.
  void ask_from_the_dead() {
    const ::Window gone = XCreateSimpleWindow(display, DefaultRootWindow(display), 0, 0, 1, 1, 0, 0, 0);
    XDestroyWindow(display, gone);
    XEvent event{};
    event.xselectionrequest = {SelectionRequest, 0, True, display, source, gone, atom("XdndSelection"), static_cast<Atom>(kind), atom("DROPPED"), CurrentTime};
    XSendEvent(display, source, False, NoEventMask, &event);
    XSync(display, False);
  }

  void answer() {
    answer_at.reset();
    ::Window root = 0, child = 0;
    int x = 0, y = 0;
    unsigned width = 0, height = 0, border = 0, depth = 0;
    XGetGeometry(display, window, &root, &x, &y, &width, &height, &border, &depth);
    XTranslateCoordinates(display, window, root, 0, 0, &x, &y, &child);
    const long place = habits.quiet ? (static_cast<long>(x) << 16) + y : 0, size = habits.quiet ? (static_cast<long>(width) << 16) + static_cast<long>(height) : 0;
    const Atom action = !habits.accepts ? 0 : atom(habits.would_move ? "XdndActionMove" : "XdndActionCopy");
    say("XdndStatus", (habits.accepts ? 1 : 0) + (habits.quiet ? 0 : 2), place, size, static_cast<long>(action));
  }

  void take(const XClientMessageEvent& message) {
    const std::lock_guard lock(mutex);
    const Atom type = message.message_type;
    if (message.window != window) ++seen.mislaid;  // a proxy is told of the window it stands for
    if (type == atom("XdndEnter")) {
      ++seen.enters;
      source = static_cast<::Window>(message.data.l[0]);
      seen.version = message.data.l[1] >> 24 & 0xFF;
      kind = message.data.l[2];
      if (kind == static_cast<long>(atom("text/uri-list"))) seen.kind = "text/uri-list";
    } else if (type == atom("XdndPosition")) {
      ++seen.positions;
      if (answer_at) ++seen.early_positions;
      seen.x = static_cast<int>(message.data.l[2] >> 16 & 0xFFFF), seen.y = static_cast<int>(message.data.l[2] & 0xFFFF);
      if (static_cast<Atom>(message.data.l[4]) != atom("XdndActionCopy")) seen.copy_asked = false;
      if (habits.dies == DropHabits::Dies::at_position) return die();
      answer_at = Steady::now() + std::chrono::milliseconds(habits.status_after_ms);
    } else if (type == atom("XdndLeave")) {
      ++seen.leaves;
      answer_at.reset();
    } else if (type == atom("XdndDrop")) {
      ++seen.drops;
      if (habits.dies == DropHabits::Dies::at_drop) {
        ask_from_the_dead();
        return die();
      }
      XConvertSelection(display, atom("XdndSelection"), static_cast<Atom>(kind), atom("DROPPED"), window, static_cast<Time>(message.data.l[2]));
    }
  }

  void take_data() {
    Atom type = 0;
    int format = 0;
    unsigned long items = 0, left = 0;
    unsigned char* data = nullptr;
    XGetWindowProperty(display, window, atom("DROPPED"), 0, 1L << 20, True, AnyPropertyType, &type, &format, &items, &left, &data);
    {
      const std::lock_guard lock(mutex);
      if (data) seen.bytes.assign(reinterpret_cast<const char*>(data), items);
    }
    if (data) XFree(data);
    if (habits.finishes) say("XdndFinished", habits.refuses_in_the_end ? 0 : 1, static_cast<long>(atom("XdndActionCopy")), 0, 0);
  }

  void run(const std::stop_token& stop) {
    while (!stop.stop_requested() && display) {
      while (display && XPending(display) > 0) {
        XEvent event;
        XNextEvent(display, &event);
        if (event.type == ClientMessage) take(event.xclient);
        else if (event.type == SelectionNotify) take_data();
      }
      if (!display) break;
      if (answer_at && Steady::now() >= *answer_at) answer();
      XFlush(display);
      pollfd ready{ConnectionNumber(display), POLLIN, 0};
      poll(&ready, 1, 3);
    }
    die();
  }
};

DropTarget::DropTarget(int x, int y, int width, int height, DropHabits habits) : inner_(std::make_unique<Inner>()) {
  inner_->habits = habits;
  std::promise<void> shown;
  auto there = shown.get_future();
  inner_->thread = std::jthread([inner = inner_.get(), &shown, x, y, width, height](const std::stop_token& stop) {
    inner->open(x, y, width, height);
    shown.set_value();
    inner->run(stop);
  });
  there.wait();
}

DropTarget::~DropTarget() {
  inner_->thread.request_stop();
  inner_->thread.join();
}

DropSeen DropTarget::seen() const {
  const std::lock_guard lock(inner_->mutex);
  return inner_->seen;
}

void let_go_of_the_button() {
  Display* display = XOpenDisplay(nullptr);
  XTestFakeButtonEvent(display, 1, False, CurrentTime);
  XSync(display, False);
  XCloseDisplay(display);
}

}  // namespace boardlore
