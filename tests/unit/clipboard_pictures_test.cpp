// Files named by what a file manager or a person put into the clipboard (RFC 8089 file addresses, RFC 2483 lists).
#include <doctest/doctest.h>

#include <fstream>

#include "bench/clipboard_pictures.h"
#include "support/temporary_folder.h"

using namespace boardlore;
namespace fs = std::filesystem;

TEST_CASE("paths and file addresses name files; anything else in the list makes it no list of files") {
  const TemporaryFolder temporary;
  const fs::path plain = temporary.path / "a.jpg", odd = temporary.path / "b c%.jpg";
  std::ofstream(plain) << "x";
  std::ofstream(odd) << "x";
  const std::string dir = temporary.path.string();
  using Files = std::vector<fs::path>;
  CHECK(files_named_in(dir + "/a.jpg") == Files{plain});
  CHECK(files_named_in(dir + "/a.jpg\n" + dir + "/b c%.jpg\n") == Files{plain, odd});
  CHECK(files_named_in("file://" + dir + "/a.jpg\r\nfile://localhost" + dir + "/b%20c%25.jpg\r\n") == Files{plain, odd});
  CHECK(files_named_in("# copied\r\nfile:" + dir + "/a.jpg") == Files{plain});
  for (const std::string& other : {std::string("C14 10k"), std::string(""), std::string("a.jpg"), dir + "/none.jpg", dir,
                                   "file://" + dir + "/a.jpg%00.png", "file://" + dir + "/a%2", "file://elsewhere" + dir + "/a.jpg",
                                   "https://example.org" + dir + "/a.jpg", dir + "/a.jpg\nand words"}) {
    CAPTURE(other);
    CHECK(files_named_in(other).empty());
  }
}
