// Text from files and people, made safe to put into a page.
//
// Everything a job holds may have been typed, pasted or sent by anyone. Bytes that are not UTF-8, control
// characters and the characters that turn writing direction around (they can make a line read as another)
// are replaced; then the five characters that mean something in XML and HTML are escaped, so that the
// result can stand in element content and in a quoted attribute alike.
#pragma once

#include <string>
#include <string_view>

namespace boardlore {

// U+FFFD for what cannot be shown; line breaks and tabs stay. Well-formed UTF-8 comes out.
std::string clean_text(std::string_view text);
// clean_text, and & < > " ' as character references.
std::string escape_xml(std::string_view text);

}  // namespace boardlore
