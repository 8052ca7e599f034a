// The record as one HTML file that fetches nothing, runs nothing, and is read on a phone or printed.
//
// Rows and the marks on the photos light each other up by style rules alone (:has, :hover, :focus-within,
// :target); before and after are wiped by a row of radio buttons that the arrow keys move. A strict
// Content-Security-Policy names the one style sheet by its hash and allows data pictures, nothing else, so
// that text which escaped escaping still could not do anything.
#pragma once

#include <string>

#include "record/record_pictures.h"

namespace boardlore {

// `pictures`: prepared, in the order of pictures_of(record).
std::string record_html(const Record& record, const std::vector<PreparedPicture>& pictures);

}  // namespace boardlore
