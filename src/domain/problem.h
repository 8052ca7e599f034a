// What went wrong, in the four parts a tired person needs: the file, the place in it, what was
// expected there and what was found. Bad input, a full disk or a refused edit are ordinary here and
// come back as values; exceptions of libraries are caught in the one room that uses the library.
#pragma once

#include <cassert>
#include <optional>
#include <string>
#include <utility>
#include <variant>

namespace boardlore {

// What the process exits with. Written into README.md: F-1.
enum class Outcome { done = 0, finding = 1, bad_input = 2, system_failed = 3 };

struct Problem {
  std::string file;      // path as the user gave it; may be empty
  std::string where;     // JSON pointer, line, byte or option; may be empty
  std::string expected;  // what would have been right
  std::string found;     // what was there instead
  Outcome outcome = Outcome::bad_input;

  bool operator==(const Problem&) const = default;
};

// "job.json at /readings/3/value: expected a finite number, found null"
std::string to_text(const Problem& problem);

template <class T>
class [[nodiscard]] Result {
 public:
  Result(T value) : content_(std::in_place_index<0>, std::move(value)) {}  // NOLINT(google-explicit-constructor)
  Result(Problem problem) : content_(std::in_place_index<1>, std::move(problem)) {}  // NOLINT(google-explicit-constructor)

  explicit operator bool() const { return content_.index() == 0; }
  const T& operator*() const& { return value(); }
  T& operator*() & { return value(); }
  T&& operator*() && { return std::move(value()); }
  const T* operator->() const { return &value(); }
  T* operator->() { return &value(); }
  const T& value() const {
    assert(content_.index() == 0);
    return *std::get_if<0>(&content_);
  }
  T& value() {
    assert(content_.index() == 0);
    return *std::get_if<0>(&content_);
  }
  const Problem& problem() const {
    assert(content_.index() == 1);
    return *std::get_if<1>(&content_);
  }

 private:
  std::variant<T, Problem> content_;
};

struct Done {
  bool operator==(const Done&) const = default;
};

}  // namespace boardlore
