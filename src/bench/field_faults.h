// What was typed into a field and could not be taken: said under the field itself, with the typing left standing so that it
// is mended and not typed again. A view refuses; `field` (widgets.h) outlines, says and takes the focus back.
#pragma once

#include <map>
#include <string>

namespace boardlore {

class FieldFaults {
 public:
  struct Fault {
    std::string typed;     // with another text in the field the fault is gone
    std::string expected;  // a whole sentence
    std::string held;      // what holds instead: Escape puts it back
    bool take_focus = true, drawn = true;
  };

  // Once a frame. What belongs to another folder or mark (`subject`), or is no longer drawn, is forgotten.
  void begin_frame(const std::string& subject) {
    if (subject != subject_) faults_.clear(), subject_ = subject;
    std::erase_if(faults_, [](const auto& entry) { return !entry.second.drawn; });
    for (auto& [name, fault] : faults_) fault.drawn = false;
  }
  void refuse(const std::string& field, std::string typed, std::string expected, std::string held = {}) {
    faults_[field] = {std::move(typed), std::move(expected), std::move(held), true, true};
  }
  Fault* find(const std::string& field) {
    const auto it = faults_.find(field);
    return it == faults_.end() ? nullptr : &it->second;
  }
  void forget(const std::string& field) { faults_.erase(field); }
  const std::map<std::string, Fault>& all() const { return faults_; }

 private:
  std::string subject_;
  std::map<std::string, Fault> faults_;
};

}  // namespace boardlore
