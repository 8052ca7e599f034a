#include "exchange/private_words.h"

#include <unistd.h>

#include <algorithm>
#include <cctype>
#include <cstdlib>

namespace boardlore {
namespace {

constexpr std::size_t least_word = 3;  // shorter ones are found in every designator

bool is_word(char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0 || static_cast<unsigned char>(c) >= 0x80; }

std::string lower(std::string text) {
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

// Accounts that every machine has say nothing of anybody.
bool is_everybodys(const std::string& name) {
  for (const char* known : {"root", "user", "admin", "localhost", "guest", "nobody"})
    if (name == known) return true;
  return false;
}

// Folders that paths of a machine begin with; and what else only a path holds: a drive, a share, a file address.
const char* const first_folders[] = {"home", "Users", "root", "mnt", "media", "tmp", "var"};
const char* const path_signs[] = {":\\", "\\\\", "file:/"};

// Where the word around `at` starts and ends: paths and addresses hold no blanks.
std::pair<std::size_t, std::size_t> unbroken(const std::string& text, std::size_t at) {
  const auto breaks = [&](std::size_t i) { return std::isspace(static_cast<unsigned char>(text[i])) != 0 || text[i] == '"' || text[i] == '<' || text[i] == '>'; };
  std::size_t start = at, end = at;
  while (start > 0 && !breaks(start - 1)) --start;
  while (end < text.size() && !breaks(end)) ++end;
  return {start, end};
}

std::size_t place_start(const std::string& text, bool& address) {
  std::size_t first = std::string::npos;
  address = false;
  for (const char* folder : first_folders) first = std::min(first, text.find("/" + std::string(folder) + "/"));
  for (const char* sign : path_signs) first = std::min(first, text.find(sign));
  for (std::size_t at = text.find('@'); at != std::string::npos; at = text.find('@', at + 1)) {
    const auto letter = [&](std::size_t i) { return i < text.size() && std::isalnum(static_cast<unsigned char>(text[i])) != 0; };
    if (at > 0 && letter(at - 1) && letter(at + 1) && at < first) {
      first = at;
      address = true;
      break;
    }
  }
  return first;
}

}  // namespace

std::string place_of_a_machine(const std::string& text) {
  bool address = false;
  if (place_start(text, address) == std::string::npos) return {};
  return address ? "a user or mail name" : "a path on a machine";
}

PrivateWords::PrivateWords(const Snapshot& snapshot, bool keep_names) {
  if (snapshot.job) {
    add(snapshot.job->unit.owner);
    add(snapshot.job->unit.serial);
  }
  if (!keep_names) {
    if (snapshot.job) {
      const Job& job = *snapshot.job;
      add(job.technician);
      for (const Reading& reading : job.readings) add(reading.by);
      for (const Action& action : job.actions) add(action.by);
      for (const Note& note : job.notes) add(note.by);
      for (const Acknowledgement& one : job.acknowledgements) add(one.by);
      for (const Addendum& one : job.addenda) add(one.by);
      if (job.hand_back) add(job.hand_back->by);
    }
    snapshot.layer->marks.each([&](const MarkPtr& mark) {
      for (const Note& note : mark->notes) add(note.by);
    });
  }
  char host[256] = "";
  if (::gethostname(host, sizeof host - 1) == 0) add(host);
  for (const char* name : {"USER", "LOGNAME", "BOARDLORE_TECHNICIAN"})
    if (const char* value = std::getenv(name); value != nullptr && (!keep_names || std::string(name) != "BOARDLORE_TECHNICIAN")) add(value);
  // What the board itself is called is no secret, even where an owner is called the same.
  const Board& board = snapshot.layer->board;
  const std::string public_name = lower(board.maker + " " + board.model + " " + board.revision);
  std::erase_if(words_, [&](const std::string& word) { return public_name.find(word) != std::string::npos; });
  std::sort(words_.begin(), words_.end(), [](const std::string& a, const std::string& b) { return a.size() != b.size() ? a.size() > b.size() : a < b; });
  words_.erase(std::unique(words_.begin(), words_.end()), words_.end());
}

// The whole, and each part of it that is a name or a number: of "Ann Miller, 4711" also "Miller" and "4711".
void PrivateWords::add(const std::string& name) {
  if (name.size() >= least_word && !is_everybodys(lower(name))) words_.push_back(lower(name));
  for (std::size_t i = 0; i < name.size();) {
    std::size_t end = i;
    while (end < name.size() && is_word(name[end])) ++end;
    const std::string part = name.substr(i, end - i);
    const bool telling = std::any_of(part.begin(), part.end(), [](char c) { return std::isupper(static_cast<unsigned char>(c)) != 0 || std::isdigit(static_cast<unsigned char>(c)) != 0; });
    if (part.size() > least_word && part.size() < name.size() && telling && !is_everybodys(lower(part))) words_.push_back(lower(part));
    i = std::max(end, i + 1);
  }
}

std::string PrivateWords::without(const std::string& given) {
  std::string text = given;
  bool address = false;
  for (std::size_t at = place_start(text, address); at != std::string::npos; at = place_start(text, address)) {
    const auto [start, end] = unbroken(text, at);
    text.replace(start, end - start, left_out_words);
    ++left_out_;
  }
  for (const std::string& word : words_) {
    std::string lowered = lower(text);
    for (std::size_t at = lowered.find(word); at != std::string::npos; at = lowered.find(word, at)) {
      const std::size_t end = at + word.size();
      const bool whole = (at == 0 || !is_word(text[at - 1]) || !is_word(word.front())) && (end == text.size() || !is_word(text[end]) || !is_word(word.back()));
      if (!whole) {
        ++at;
        continue;
      }
      text.replace(at, word.size(), left_out_words);
      lowered.replace(at, word.size(), std::string(std::char_traits<char>::length(left_out_words), '\0'));
      ++left_out_;
    }
  }
  return text;
}

}  // namespace boardlore
