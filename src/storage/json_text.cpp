#include "storage/json_text.h"

#include <cmath>

namespace boardlore::storage {
namespace {

// Builds the value while it checks; stops at the first fault.
class CheckedBuilder {
 public:
  using number_integer_t = Json::number_integer_t;
  using number_unsigned_t = Json::number_unsigned_t;
  using number_float_t = Json::number_float_t;
  using string_t = Json::string_t;
  using binary_t = Json::binary_t;

  explicit CheckedBuilder(std::string file) : file_(std::move(file)) {}

  bool null() { return put(nullptr); }
  bool boolean(bool value) { return put(value); }
  bool number_integer(number_integer_t value) { return put(value); }
  bool number_unsigned(number_unsigned_t value) { return put(value); }
  bool number_float(number_float_t value, const string_t& text) {
    if (!std::isfinite(value)) return fail("a finite number", text);
    return put(value);
  }
  bool string(string_t& value) {
    if (value.size() > max_string_bytes) return fail("a text of at most 1 MiB", std::to_string(value.size()) + " bytes");
    return put(std::move(value));
  }
  bool binary(binary_t&) { return fail("text", "binary"); }
  bool key(string_t& name) {
    Json& object = *open_.back();
    if (name.size() > max_string_bytes) return fail("a member name of at most 1 MiB", std::to_string(name.size()) + " bytes");
    if (object.size() >= max_members) return fail("at most 4096 members", "more");
    if (object.find(name) != object.end()) {
      key_ = name;
      named_ = true;
      return fail("each member once", "\"" + name + "\" twice");
    }
    key_ = std::move(name);
    named_ = true;
    return true;
  }
  bool start_object(std::size_t) { return open(Json::value_t::object); }
  bool start_array(std::size_t) { return open(Json::value_t::array); }
  bool end_object() { return close(); }
  bool end_array() { return close(); }
  bool parse_error(std::size_t byte, const std::string&, const nlohmann::detail::exception& error) {
    // The library's sentence names line and column first; its wording after the code is kept as the finding.
    std::string found = error.what();
    if (const auto at = found.find("syntax error"); at != std::string::npos) found = found.substr(at);
    if (found.size() > 200) found.resize(200);
    problem_ = Problem{file_, "byte " + std::to_string(byte), "JSON (RFC 8259, UTF-8)", found};
    return false;
  }

  Json take() { return std::move(root_); }
  const std::optional<Problem>& problem() const { return problem_; }

 private:
  template <class Value>
  Json* place(Value&& value) {
    if (open_.empty()) {
      root_ = Json(std::forward<Value>(value));
      return &root_;
    }
    Json& parent = *open_.back();
    if (parent.is_array()) {
      if (parent.size() >= max_elements) {
        fail("at most 2,000,000 elements", "more");
        return nullptr;
      }
      parent.push_back(Json(std::forward<Value>(value)));
      return &parent.back();
    }
    // ordered_json keeps a vector of pairs: appended, as the check for a double came with the key.
    auto& members = parent.get_ref<Json::object_t&>();
    static_cast<Container&>(members).emplace_back(std::move(key_), Json(std::forward<Value>(value)));
    named_ = false;
    return &static_cast<Container&>(members).back().second;
  }
  template <class Value>
  bool put(Value&& value) {
    return place(std::forward<Value>(value)) != nullptr;
  }
  bool open(Json::value_t type) {
    if (static_cast<int>(open_.size()) >= max_depth) return fail("at most 32 levels", "more");
    Json* value = place(type);
    if (value == nullptr) return false;
    open_.push_back(value);
    return true;
  }
  bool close() {
    open_.pop_back();
    return true;
  }
  bool fail(std::string expected, std::string found) {
    problem_ = Problem{file_, pointer(), std::move(expected), std::move(found)};
    return false;
  }
  // Where we are: the last member or element of every open value.
  std::string pointer() const {
    std::string text;
    for (const Json* value : open_) {
      if (value->is_array()) {
        const bool last = value == open_.back();
        text += "/" + std::to_string(last ? value->size() : value->size() - 1);
      } else if (value == open_.back()) {
        if (named_) text += "/" + key_;
      } else if (!value->empty()) {
        text += "/" + std::prev(value->end()).key();
      }
    }
    return text.empty() ? "the top" : text;
  }

  using Container = Json::object_t::Container;
  std::string file_;
  Json root_;
  std::vector<Json*> open_;
  std::string key_;
  bool named_ = false;
  std::optional<Problem> problem_;
};

}  // namespace

Result<Json> parse_json(std::string_view text, const std::string& file) {
  if (text.size() > max_document_bytes)
    return Problem{file, "", "at most 256 MiB", std::to_string(text.size()) + " bytes"};
  CheckedBuilder builder(file);
  try {
    if (Json::sax_parse(text.begin(), text.end(), &builder) && !builder.problem()) return builder.take();
  } catch (const nlohmann::json::exception& error) {
    return Problem{file, "", "JSON (RFC 8259, UTF-8)", error.what()};
  }
  return builder.problem().value_or(Problem{file, "", "JSON (RFC 8259, UTF-8)", "something else"});
}

}  // namespace boardlore::storage
