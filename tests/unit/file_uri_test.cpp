// Files as addresses: percent-encoding by RFC 3986, file addresses by RFC 8089, lists of them by RFC 2483. Examples are those of
// the RFCs where one is named; the sections from memory.
#include <doctest/doctest.h>

#include <fstream>

#include "bench/clipboard_pictures.h"
#include "bench/file_uri.h"
#include "support/temporary_folder.h"

using namespace boardlore;
namespace fs = std::filesystem;

TEST_CASE("names are percent-encoded as RFC 3986 has it") {
  // Section 2.5: the characters A, À (A with grave) and ア (katakana A) as UTF-8.
  CHECK(percent_encoded_path("A") == "A");
  CHECK(percent_encoded_path("À") == "%C3%80");
  CHECK(percent_encoded_path("ア") == "%E3%82%A2");
  // Section 2.1: "%20" is a space; hexadecimal digits in capitals. Section 2.4: a percent sign itself is "%25".
  CHECK(percent_encoded_path(" ") == "%20");
  CHECK(percent_encoded_path("%") == "%25");
  CHECK(percent_encoded_path("%7B") == "%257B");  // never decoded or encoded twice
  // Section 2.3: unreserved characters stay, a tilde too.
  const std::string unreserved = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~";
  CHECK(percent_encoded_path(unreserved) == unreserved);
  // Section 2.2: each reserved character, which would mean something else in an address; the slash parts segments.
  CHECK(percent_encoded_path(":?#[]@!$&'()*+,;=") == "%3A%3F%23%5B%5D%40%21%24%26%27%28%29%2A%2B%2C%3B%3D");
  CHECK(percent_encoded_path("/path/to/file") == "/path/to/file");
  // What would break a list of addresses, and bytes that are no UTF-8.
  CHECK(percent_encoded_path("a\r\nb\t\x7F\xFF") == "a%0D%0Ab%09%7F%FF");
}

TEST_CASE("every name comes back from its address") {
  for (int byte = 1; byte < 256; ++byte) {
    const std::string name = std::string("/a") + static_cast<char>(byte) + "b%41";
    CAPTURE(byte);
    const std::string address = percent_encoded_path(name);
    for (const char c : address) CHECK((c > 0x20 && c < 0x7F));
    CHECK(percent_decoded(address) == name);
  }
  for (const char* broken : {"%", "%4", "%4G", "%G4", "a%00b"}) CHECK_FALSE(percent_decoded(broken).has_value());
}

TEST_CASE("files as a list of addresses, each line ended by CR LF") {
  // RFC 8089, appendix B: a traditional file address for a local file, with an empty authority.
  CHECK(file_uri("/path/to/file") == "file:///path/to/file");
  CHECK(file_uri("job/top.jpg") == "file://" + percent_encoded_path((fs::current_path() / "job/top.jpg").string()));
  // RFC 2483, section 5: one address a line, lines ended by CR LF.
  CHECK(uri_list({"/a b", "/größe 50%.jpg"}) == "file:///a%20b\r\nfile:///gr%C3%B6%C3%9Fe%2050%25.jpg\r\n");
  CHECK(uri_list({}).empty());
  // What is given out is what is taken in.
  const TemporaryFolder temporary;
  std::vector<fs::path> files{temporary.path / "größe 50% #1?.jpg", temporary.path / "line\nbreak.jpg"};
  for (const auto& file : files) std::ofstream(file) << "x";
  CHECK(files_named_in(uri_list(files)) == files);
}
