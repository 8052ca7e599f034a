// What the owner of an X11 selection gives to whoever asks for it (ICCCM 2.0, section 2.2): the clipboard, or what is dragged.
// For the files that talk to the X server themselves; none of it is for a frame.
#pragma once

#include <X11/Xlib.h>

#include <vector>

#include "bench/x11_offer.h"

namespace boardlore {

// Whoever asked may be gone when the answer arrives, which Xlib by itself would end the program for. The handler is the whole
// process's: it swallows that one error and hands any other to the handler it found (SDL's). Called from the window's thread before
// anything is sent, each time: closing SDL's display puts back the handler of before it was opened.
void survive_vanished_windows();

// Whether each of `offered` fits into one request; sending piece by piece is for larger things than are offered here.
bool fit_in_a_request(Display* display, const std::vector<Offered>& offered);
void answer_request(Display* display, const XSelectionRequestEvent& request, const std::vector<Offered>& offered);

}  // namespace boardlore
