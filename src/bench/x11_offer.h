// Something offered to other programs in the X11 clipboard (ICCCM 2.0, section 2): a picture or files, say, which SDL2 can't hand over.
#pragma once

#include <string>
#include <thread>
#include <vector>

namespace boardlore {

struct Offered {
  std::string kind;  // a media type such as "image/png", or "UTF8_STRING"
  std::string bytes;
};

// Offers until another program takes the clipboard over, something else is offered, or this is destroyed.
class X11Offer {
 public:
  // The same thing in one or more kinds. False: no X server, more than one request can carry, or another program holds on to the
  // clipboard.
  bool offer(std::vector<Offered> offered);

 private:
  std::jthread serving_;
};

}  // namespace boardlore
