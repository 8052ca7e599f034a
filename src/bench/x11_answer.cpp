#ifdef BOARDLORE_HAS_X11

#include "bench/x11_answer.h"

#include <X11/Xatom.h>

#include <algorithm>
#include <atomic>

namespace boardlore {
namespace {

std::atomic<XErrorHandler> found_handler = nullptr;

int without_vanished(Display* display, XErrorEvent* error) {
  const XErrorHandler other = found_handler;
  return error->error_code == BadWindow || !other ? 0 : other(display, error);
}

}  // namespace

void survive_vanished_windows() {
  const XErrorHandler before = XSetErrorHandler(without_vanished);
  if (before != without_vanished) found_handler = before;
}

bool fit_in_a_request(Display* display, const std::vector<Offered>& offered) {
  const auto most = 4 * static_cast<std::size_t>(std::max(XMaxRequestSize(display), XExtendedMaxRequestSize(display)));
  return std::all_of(offered.begin(), offered.end(), [&](const Offered& one) { return one.bytes.size() + 1024 <= most; });
}

void answer_request(Display* display, const XSelectionRequestEvent& request, const std::vector<Offered>& offered) {
  const auto atom = [&](const char* name) { return XInternAtom(display, name, False); };
  XEvent reply{};
  reply.xselection = {SelectionNotify, 0, True, display, request.requestor, request.selection, request.target, 0, request.time};
  // A requestor of before ICCCM names no property; its target stands in (section 2.2).
  const Atom place = request.property != 0 ? request.property : request.target;
  if (request.target == atom("TARGETS")) {
    std::vector<Atom> kinds{request.target};
    for (const Offered& one : offered) kinds.push_back(atom(one.kind.c_str()));
    XChangeProperty(display, request.requestor, place, XA_ATOM, 32, PropModeReplace, reinterpret_cast<const unsigned char*>(kinds.data()), static_cast<int>(kinds.size()));
    reply.xselection.property = place;
  }
  for (const Offered& one : offered) {
    if (request.target != atom(one.kind.c_str())) continue;
    XChangeProperty(display, request.requestor, place, request.target, 8, PropModeReplace, reinterpret_cast<const unsigned char*>(one.bytes.data()), static_cast<int>(one.bytes.size()));
    reply.xselection.property = place;
  }
  XSendEvent(display, request.requestor, False, NoEventMask, &reply);
  XFlush(display);
}

}  // namespace boardlore

#endif
