#include "domain/id.h"

#include <doctest/doctest.h>

using namespace boardlore;

TEST_CASE("times are written and read as RFC 3339 says") {
  // Source: RFC 3339 section 5.8, examples.
  CHECK(parse_rfc3339("1996-12-19T16:39:57-08:00") == parse_rfc3339("1996-12-20T00:39:57Z"));
  CHECK(to_rfc3339(*parse_rfc3339("1985-04-12T23:20:50.52Z")) == "1985-04-12T23:20:50.520Z");
  CHECK(parse_rfc3339("1990-12-31T23:59:60Z") == parse_rfc3339("1991-01-01T00:00:00Z"));
  for (const char* wrong : {"", "1996-12-19", "1996-13-19T16:39:57Z", "1996-02-30T16:39:57Z", "1996-12-19T16:39:57",
                            "1996-12-19T24:39:57Z", "1996-12-19T16:39:57.Z", "1996-12-19T16:39:57+1:00"})
    CHECK_FALSE(parse_rfc3339(wrong));
}

TEST_CASE("a version 7 id holds its time and rises within one source") {
  // Source: RFC 9562 section 5.7 and its example A.6: 017F22E2-79B0-7CC3-98C4-DC0C0C07398F holds 1645557742000 ms.
  IdSource ids(1, 2);
  const Id first = ids.next(Timestamp{1645557742000});
  CHECK(first.text.substr(0, 15) == "017f22e2-79b0-7");
  CHECK(parse_id(first.text) == first);
  CHECK(std::string("89ab").find(first.text[19]) != std::string::npos);
  Id last = first;
  for (int i = 0; i < 10000; ++i) {
    const Id next = ids.next(Timestamp{1645557742000});
    REQUIRE(last < next);
    last = next;
  }
  CHECK(IdSource(1, 2).next(Timestamp{1645557742000}) == first);
  CHECK(parse_id("017F22E2-79B0-7CC3-98C4-DC0C0C07398F")->text == "017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
  CHECK_FALSE(parse_id("017f22e2-79b0-7cc3-98c4-dc0c0c07398"));
  CHECK_FALSE(parse_id("017f22e2x79b0-7cc3-98c4-dc0c0c07398f"));
}
