#include "storage/shop_digest.h"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>

namespace boardlore {
namespace {

using Json = nlohmann::json;

// A document's words are kept to this; a job's run to a few kilobytes.
constexpr std::size_t most_words = 1U << 20U;
constexpr std::size_t most_depth = 64;

bool one_of(std::string_view word, std::initializer_list<std::string_view> words) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

// Members of readings, actions, notes and the rest whose text is worth finding.
bool is_searched(std::string_view member) {
  return one_of(member, {"text", "words", "typed", "what", "marking_seen", "fitted_marking", "value", "accept", "refuse", "reason", "caption",
                         "advice", "polarity", "name", "reported", "nets"});
}

// Lists of a document in which `is_searched` members count.
bool is_searched_list(std::string_view list) {
  return one_of(list, {"readings", "actions", "notes", "spares", "addenda", "marks", "checks"});
}

class Walker : public nlohmann::json_sax<Json> {
 public:
  Digest digest;
  bool format_seen = false;
  std::string error_text;

  bool null() override { return true; }
  bool boolean(bool) override { return true; }
  bool number_integer(number_integer_t) override { return true; }
  bool number_unsigned(number_unsigned_t) override { return true; }
  bool number_float(number_float_t, const string_t&) override { return true; }
  bool binary(binary_t&) override { return true; }

  bool string(string_t& text) override {
    const std::size_t depth = keys_.size();
    const std::string& member = keys_.back();
    if (depth == 1) return top_member(member, text);
    const std::string& list = keys_[0];
    if (list == "board" && depth == 2) {
      if (member == "layer") digest.layer = text;
      if (one_of(member, {"maker", "model", "revision"})) append(digest.board, text);
    } else if (list == "hand_back" && depth == 2) {
      if (member == "outcome") digest.outcome = text;
      if (member == "at") digest.closed_at = text;
    } else if (is_searched_list(list)) {
      list_member(list, depth, member, text);
    }
    return true;
  }
  bool key(string_t& name) override {
    keys_.back() = name;
    return true;
  }
  bool start_object(std::size_t) override {
    keys_.emplace_back();
    if (keys_.size() == 2 && !keys_[0].empty()) refdes_.clear(), what_.clear(), mark_ = {};
    return keys_.size() <= most_depth || fail("nested deeper than 64");
  }
  bool end_object() override {
    keys_.pop_back();
    if (keys_.size() == 1) end_of_element(keys_[0]);
    return true;
  }
  // An array's elements are named by the array's own member.
  bool start_array(std::size_t) override { return ++arrays_ <= most_depth || fail("nested deeper than 64"); }
  bool end_array() override { return --arrays_, true; }
  bool parse_error(std::size_t at, const std::string&, const nlohmann::detail::exception&) override {
    return fail("not JSON at byte " + std::to_string(at));
  }

 private:
  bool fail(std::string why) {
    error_text = std::move(why);
    return false;
  }
  static void append(std::string& to, std::string_view text) {
    if (text.empty() || to.size() + text.size() > most_words) return;
    if (!to.empty()) to += ' ';
    to += text;
  }
  bool top_member(const std::string& member, const std::string& text) {
    if (member == "format") {
      format_seen = text == "boardlore-job" || text == "boardlore-layer";
      digest.is_job = text == "boardlore-job";
      return format_seen || fail("format is \"" + text.substr(0, 40) + "\"");
    }
    if (member == "id") digest.id = text;
    if (member == "reported") digest.title = text;
    if (member == "symptom") digest.symptom = text;
    if (member == "opened_at") digest.opened_at = text;
    return true;
  }
  void list_member(const std::string& list, std::size_t depth, const std::string& member, const std::string& text) {
    if (depth == 2 && member == "refdes") {
      refdes_ = text;
      if (designators_.insert(text).second) append(digest.refdes, text);
      mark_.refdes = text;
    } else if (depth == 2 && member == "id") {
      mark_.id = text;
    } else if (depth == 2 && member == "what") {
      what_ = text;
      append(digest.words, text);
    } else if (is_searched(member) || (depth >= 3 && keys_[1] == "nets")) {
      append(list == "marks" ? mark_.words : digest.words, text);
    }
  }
  void end_of_element(const std::string& list) {
    if (list == "actions" && !what_.empty() && actions_.insert({refdes_, what_}).second) digest.actions.push_back({refdes_, what_});
    if (list == "marks" && !mark_.id.empty()) {
      if (digest.is_job) append(digest.words, mark_.words);
      else digest.marks.push_back(std::move(mark_));
    }
    refdes_.clear(), what_.clear(), mark_ = {};
  }

  std::vector<std::string> keys_;  // one an open object: its present member
  std::set<std::string> designators_;
  std::set<Cure> actions_;
  std::string refdes_, what_;
  DigestMark mark_;
  std::size_t arrays_ = 0;  // open ones
};

}  // namespace

Result<Digest> digest_document(std::string_view text, const std::string& file) {
  const auto refuse = [&](std::string found) { return Problem{file, "", "a job or a layer", std::move(found), Outcome::bad_input}; };
  const std::size_t start = text.find_first_not_of(" \t\r\n");
  if (start == std::string_view::npos || text[start] != '{') return refuse("no JSON object");
  Walker walker;
  bool good = false;
  try {
    good = Json::sax_parse(text.begin(), text.end(), &walker);
  } catch (const std::exception& error) {
    return refuse(error.what());
  }
  if (!good) return refuse(walker.error_text.empty() ? "not JSON" : walker.error_text);
  if (!walker.format_seen) return refuse("no \"format\"");
  if (walker.digest.id.empty()) return refuse("no \"id\"");
  if (!walker.digest.is_job) {
    walker.digest.layer = walker.digest.id;
    walker.digest.title = walker.digest.board;
  }
  return std::move(walker.digest);
}

}  // namespace boardlore
