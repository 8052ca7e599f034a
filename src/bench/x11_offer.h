// Something offered to other programs in the X11 clipboard (ICCCM 2.0, section 2): a picture, say, which SDL2 can't hand over.
#pragma once

#include <string>
#include <thread>

namespace boardlore {

// Offers until another program takes the clipboard over, something else is offered, or this is destroyed.
class X11Offer {
 public:
  // `kind`: a media type such as "image/png". False: no X server, more than one request can carry, or another program holds on to
  // the clipboard.
  bool offer(const std::string& kind, std::string bytes);

 private:
  std::jthread serving_;
};

}  // namespace boardlore
