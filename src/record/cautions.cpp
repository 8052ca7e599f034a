#include "record/cautions.h"

#include <algorithm>
#include <cctype>
#include <set>

namespace boardlore {
namespace {

bool speaks_of(std::string text, std::initializer_list<const char*> words) {
  std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return std::any_of(words.begin(), words.end(), [&](const char* word) { return text.find(word) != std::string::npos; });
}

bool has_letters(const std::string& refdes, const char* letters) {
  const std::string_view wanted(letters);
  return refdes.size() > wanted.size() && refdes.starts_with(wanted) &&
         std::isdigit(static_cast<unsigned char>(refdes[wanted.size()]));
}

// All that was said about the unit and the work on it, to look for words in.
std::string words_of(const Job& job) {
  std::string words = job.reported + " " + job.symptom + " " + job.unit.condition;
  for (const Action& action : job.actions)
    words += " " + action.what + " " + action.words + " " + action.process.alloy + " " + action.process.flux;
  return words;
}

}  // namespace

std::vector<std::string> record_cautions(const Job& job, const Layer& layer) {
  std::vector<std::string> lines{
      "Disconnect the unit from every supply before it is opened, and leave opening it to a trained person."};
  std::set<Id> touched;
  for (const Action& action : job.actions) touched.insert(action.mark);
  bool capacitor = false, cell = false, mains = false;
  layer.marks.each([&](const MarkPtr& mark) {
    mains = mains || speaks_of(mark->text + " " + mark->reason, {"mains", "230 v", "120 v", "line voltage"});
    if (!touched.count(mark->id)) return;
    capacitor = capacitor || has_letters(mark->refdes, "C");
    cell = cell || has_letters(mark->refdes, "BT") || has_letters(mark->refdes, "BAT");
  });
  const std::string words = words_of(job);
  mains = mains || speaks_of(words, {"mains", "230 v", "120 v", "line voltage", "primary side"});
  if (mains)
    lines.push_back("Parts of this unit are connected to the mains. They can be live although the unit is switched off; "
                    "contact can kill.");
  if (capacitor || mains)
    lines.push_back("Large capacitors hold their charge after the supply is gone. They are discharged and measured "
                    "before anything is touched.");
  if (cell || speaks_of(words, {"lithium", "coin cell", "battery"}))
    lines.push_back("A cell was worked on. Fit the same type the same way round; never charge, heat or short a cell that is "
                    "not meant for it. Keep coin cells from children: a swallowed one is an emergency.");
  if (speaks_of(words, {"sn63", "sn60", "snpb", "sn-pb", "leaded"}))
    lines.push_back("Solder with lead may be on this board. Wash hands after handling it; waste goes to collection.");
  if (speaks_of(words, {"liquid", "water", "corrosion", "leak"}))
    lines.push_back("The unit had been wet or corroded. Faults can show later in places that were in order at hand-back.");
  if (speaks_of(words, {"isopropyl", "solvent", "cleaner"}))
    lines.push_back("Solvent was used. Let the board dry fully before power is put on.");
  lines.push_back("Boards are damaged by static that nobody feels. Touch earthed metal before touching a board.");
  return lines;
}

}  // namespace boardlore
