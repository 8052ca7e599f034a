#include "judging/entry_line.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>

#include "judging/designator.h"
#include "judging/entry_quantity.h"
#include "judging/entry_tokens.h"

namespace boardlore {
namespace {

constexpr std::size_t most_values = 200;

// A number typed on the keypad alone, its signs made letters.
struct KeypadNumber {
  std::string text;
  std::size_t run_at = std::string::npos, run = 0;  // of the signs, as typed
  std::size_t typed_at(std::size_t at) const { return run > 1 && at > run_at ? at + run - 1 : at; }
};

KeypadNumber with_letters(std::string_view number) {
  KeypadNumber keyed{std::string(number), number.find_first_of("*/"), 0};
  if (keyed.run_at == std::string::npos || keyed.run_at == 0 || std::string_view("0123456789.,").find(number[keyed.run_at - 1]) == std::string_view::npos) return keyed;
  const char sign = number[keyed.run_at];
  while (keyed.run_at + keyed.run < number.size() && number[keyed.run_at + keyed.run] == sign) ++keyed.run;
  const std::string_view letters = sign == '*' ? "kM" : "munp";
  if (keyed.run <= letters.size()) keyed.text.replace(keyed.run_at, keyed.run, 1, letters[keyed.run - 1]);
  else keyed.run = 0;
  return keyed;
}

struct ValueSpan {
  EntryValue value;
  std::size_t start = 0, number_end = 0, end = 0;  // number_end: where a unit would be put
  bool bare = false;                               // neither prefix nor unit
};

std::string lower(std::string_view text) {
  std::string result(text);
  for (char& c : result) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return result;
}

std::string upper(std::string_view text) {
  std::string result(text);
  for (char& c : result) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return result;
}

bool is_overload(std::string_view text) {
  const std::string word = lower(text);
  return word == "ol" || word == "o.l" || word == "o.l." || word == "overload";
}

bool starts_with_digit(std::string_view text) {
  std::size_t at = 0;
  for (const std::string_view sign : {std::string_view("-"), std::string_view("+"), std::string_view("\u2212")})
    if (text.starts_with(sign)) at = sign.size();
  if (at < text.size() && (text[at] == '.' || text[at] == ',')) ++at;
  return at < text.size() && std::isdigit(static_cast<unsigned char>(text[at])) != 0;
}

// "R47", "p33", "µ1": a value whose decimal letter comes first.
bool starts_with_letter_and_digit(std::string_view text) {
  for (const std::string_view letter : {std::string_view("R"), std::string_view("p"), std::string_view("n"), std::string_view("u"),
                                        std::string_view("µ"), std::string_view("\u03BC"), std::string_view("k"), std::string_view("m")})
    if (text.starts_with(letter) && text.size() > letter.size() && std::isdigit(static_cast<unsigned char>(text[letter.size()])) != 0) return true;
  return false;
}

constexpr const char* after_designator = "a value (10.5k, 0.452 V, OL, > 20M), \"note\" and words, or what was done (replaced, reflowed, cleaned ...)";

class EntryParser {
 public:
  EntryParser(std::string_view text, const EntryContext& context) : text_(text), context_(context) {}

  ParsedEntry parse() {
    if (text_.size() > longest_entry_line) return fault(longest_entry_line, "the line is too long", "at most 4096 bytes");
    if (const std::size_t bad = unreadable_byte(text_); bad != std::string_view::npos)
      return fault(bad, "a byte that is not text", "text in UTF-8");
    tokens_ = entry_tokens(text_);
    if (tokens_.empty()) return fault(text_.size(), "nothing typed", "a designator (C14, U3.7) and " + std::string(after_designator));
    line_.conditions = context_.defaults;
    if (lower(tokens_[0].text) == "note") return job_note();
    if (auto stop = read_point()) return *stop;
    if (next_ == tokens_.size()) return fault(text_.size(), "nothing behind the designator", after_designator);
    const std::string word = lower(tokens_[next_].text);
    if (word == "note" || word == "note:") return note();
    for (const std::string_view verb : action_verbs())
      if (word == verb) return action(verb);
    if (auto stop = read_values()) return *stop;
    return readings();
  }

 private:
  using Stop = std::optional<ParsedEntry>;

  EntryFault fault(std::size_t byte, std::string message, std::string accepted) const {
    return {column_of(text_, byte), std::move(message), std::move(accepted)};
  }
  std::string rest_from(std::size_t token) const {
    return token < tokens_.size() ? std::string(text_.substr(tokens_[token].start, tokens_.back().end - tokens_[token].start)) : std::string();
  }

  ParsedEntry job_note() {
    line_.kind = EntryLine::Kind::job_note;
    line_.words = rest_from(1);
    if (line_.words.empty()) return fault(text_.size(), "an empty note", "the words of the note");
    return line_;
  }
  ParsedEntry note() {
    line_.kind = EntryLine::Kind::note;
    line_.words = rest_from(next_ + 1);
    if (line_.words.empty()) return fault(text_.size(), "an empty note", "the words of the note");
    return line_;
  }
  ParsedEntry action(std::string_view verb) {
    line_.kind = EntryLine::Kind::action;
    line_.what = verb;
    line_.words = rest_from(next_ + 1);
    return line_;
  }

  // Designator, pin, and where the name is on both sides, the side: "U3", "U3.A12", "R5@bottom", "U3 pin 7".
  Stop read_point() {
    const EntryToken& token = tokens_[next_++];
    std::string_view name = token.text;
    std::optional<Side> side;
    if (const std::size_t at = name.find('@'); at != std::string_view::npos) {
      side = name.substr(at + 1) == "top" ? std::optional(Side::top) : name.substr(at + 1) == "bottom" ? std::optional(Side::bottom) : std::nullopt;
      if (!side) return fault(token.start + at + 1, "not a side", "top or bottom");
      name = name.substr(0, at);
    }
    std::size_t pin_start = token.start;
    if (const std::size_t dot = name.find('.'); dot != std::string_view::npos) {
      line_.pin = name.substr(dot + 1);
      pin_start = token.start + dot + 1;
      name = name.substr(0, dot);
      if (line_.pin.empty()) return fault(pin_start, "no pin behind the dot", "a pin as printed (7, A12)");
    }
    if (!is_designator(name)) return fault(token.start, "\"" + std::string(name) + "\" is not a designator", "letters and a number, as in C14, U3.7 or TP4");
    line_.refdes = upper(name);
    if (line_.pin.empty() && next_ + 1 < tokens_.size() && lower(tokens_[next_].text) == "pin") {
      line_.pin = tokens_[next_ + 1].text;
      pin_start = tokens_[next_ + 1].start;
      next_ += 2;
    }
    if (line_.pin.size() > 8 || !std::all_of(line_.pin.begin(), line_.pin.end(), [](unsigned char c) { return std::isalnum(c) != 0 || c == '_'; }))
      return fault(pin_start, "\"" + line_.pin + "\" is not a pin", "a pin as printed: up to eight letters and digits (7, A12)");
    line_.pin = upper(line_.pin);
    return find_mark(token, side);
  }

  Stop find_mark(const EntryToken& token, std::optional<Side> side) {
    if (!context_.layer) return std::nullopt;
    std::vector<MarkPtr> found = marks_called(*context_.layer, line_.refdes);
    if (side) std::erase_if(found, [&](const MarkPtr& mark) { return mark->side != *side; });
    if (found.empty()) {
      std::string near;
      for (const std::string& name : nearest_designators(*context_.layer, line_.refdes)) near += (near.empty() ? "" : ", ") + name;
      return fault(token.start, "no " + line_.refdes + " on this board" + (side ? " on the " + std::string(side_name(*side)) : ""),
                   near.empty() ? "a designator that is marked on the board" : "the nearest are " + near);
    }
    if (found.size() > 1) {
      EntryQuestion question{column_of(text_, token.start), line_.refdes + " is on the board " + std::to_string(found.size()) + " times: which?", {}};
      const bool sides_differ = found.size() == 2 && found[0]->side != found[1]->side;
      if (!sides_differ) return fault(token.start, line_.refdes + " is on the board more than once", "a designator of one part only: rename the doubled mark first");
      for (const MarkPtr& mark : found) {
        std::string at_side(token.text);
        at_side += "@" + std::string(side_name(mark->side));
        question.choices.push_back({"the one on the " + std::string(side_name(mark->side)),
                                    std::string(text_.substr(0, token.start)) + at_side + std::string(text_.substr(token.end))});
      }
      return question;
    }
    line_.mark = found[0]->id;
    line_.refdes = found[0]->refdes;
    if (const auto& package = found[0]->package; package && package->pins > 0 && !line_.pin.empty() &&
        std::all_of(line_.pin.begin(), line_.pin.end(), [](unsigned char c) { return std::isdigit(c) != 0; }) &&
        (line_.pin == "0" || line_.pin.size() > 5 || std::stoi(line_.pin) > package->pins + 1))
      line_.cautions.push_back(line_.refdes + " has " + std::to_string(package->pins) + " pins: is " + line_.pin + " right?");
    return std::nullopt;
  }

  // Values and conditions in any order, until the first free word; all behind it is words.
  Stop read_values() {
    while (next_ < tokens_.size()) {
      const EntryToken& token = tokens_[next_];
      if (is_value_start(token)) {
        if (values_.size() == most_values) return fault(token.start, "too many values", "at most 200 on a line");
        if (auto stop = read_value()) return stop;
        continue;
      }
      bool taken = false;
      if (auto stop = read_condition(taken)) return stop;
      if (taken) continue;
      if (values_.empty()) return fault(token.start, "\"" + std::string(token.text) + "\" is not understood", after_designator);
      break;
    }
    if (values_.empty()) return fault(text_.size(), "no value", "a value (10.5k, 0.452 V, OL, > 20M)");
    line_.words = rest_from(next_);
    return std::nullopt;
  }

  bool is_value_start(const EntryToken& token) const {
    const std::string_view text = token.text;
    return text[0] == '>' || text[0] == '<' || text.starts_with("≥") || text.starts_with("≤") || is_overload(text) || starts_with_digit(text) ||
           (values_.empty() && starts_with_letter_and_digit(text));
  }

  Stop read_value() {
    const EntryToken& token = tokens_[next_++];
    ValueSpan span;
    span.start = token.start;
    span.end = span.number_end = token.end;
    if (is_overload(token.text)) {
      span.value.qualifier = Qualifier::overload;
      span.value.typed = token.text;
      values_.push_back(span);
      return std::nullopt;
    }
    std::string_view number = token.text;
    std::size_t number_start = token.start;
    for (const auto& [sign, qualifier] : {std::pair(std::string_view(">="), Qualifier::at_least), std::pair(std::string_view("<="), Qualifier::at_most),
                                          std::pair(std::string_view("≥"), Qualifier::at_least), std::pair(std::string_view("≤"), Qualifier::at_most),
                                          std::pair(std::string_view(">"), Qualifier::at_least), std::pair(std::string_view("<"), Qualifier::at_most)}) {
      if (!number.starts_with(sign)) continue;
      span.value.qualifier = qualifier;
      number.remove_prefix(sign.size());
      number_start += sign.size();
      break;
    }
    if (number.empty()) {
      if (next_ == tokens_.size()) return fault(text_.size(), "no number behind " + std::string(token.text), "a number, as in > 20M");
      number = tokens_[next_].text;
      number_start = tokens_[next_].start;
      span.end = span.number_end = tokens_[next_].end;
      ++next_;
    }
    const KeypadNumber keyed = with_letters(number);
    ParsedNumber parsed = parse_si_number(keyed.text);
    if (const auto* wrong = std::get_if<NumberFault>(&parsed))
      return fault(number_start + keyed.typed_at(wrong->at), "\"" + std::string(number) + "\" is not a value", wrong->expected);
    SiNumber read = std::get<SiNumber>(parsed);
    // "10,5 kΩ", "4k7 Ω": a unit that stands apart.
    if (!read.unit && next_ < tokens_.size() && is_unit_text(tokens_[next_].text)) {
      const ParsedNumber joined = parse_si_number(keyed.text + " " + std::string(tokens_[next_].text));
      if (const auto* with_unit = std::get_if<SiNumber>(&joined)) {
        read = *with_unit;
        span.end = tokens_[next_++].end;
      }
    }
    span.bare = !read.unit && read.power_of_ten == 0;
    if (span.end != span.number_end || read.unit) span.number_end = span.end;
    if (read.comma_doubt) return comma_question(span, number, number_start);
    span.value.number = read;
    span.value.typed = std::string(text_.substr(span.start, span.end - span.start));
    values_.push_back(span);
    return std::nullopt;
  }

  ParsedEntry comma_question(const ValueSpan& span, std::string_view number, std::size_t number_start) const {
    EntryQuestion question{column_of(text_, span.start), "is the comma in " + std::string(number) + " the decimal separator?", {}};
    const std::size_t comma = number.find(',');
    for (const std::string_view with : {std::string_view("."), std::string_view("")}) {
      std::string changed(text_);
      changed.replace(number_start + comma, 1, with);
      std::string meaning(number);
      meaning.replace(comma, 1, with);
      question.choices.push_back({meaning, changed});
    }
    return question;
  }

  Stop read_condition(bool& taken) {
    const EntryToken& token = tokens_[next_];
    const std::string word = lower(token.text);
    taken = true;
    const auto follows = [&](const char* what) -> std::optional<std::string> {
      (void)what;
      if (next_ + 1 >= tokens_.size()) return std::nullopt;
      ++next_;
      return std::string(tokens_[next_].text);
    };
    if (word == "on") line_.conditions.power = Power::on;
    else if (word == "off") line_.conditions.power = Power::off;
    else if (word == "rising") line_.said = SaidTrend::rising;
    else if (word == "falling") line_.said = SaidTrend::falling;
    else if (word == "steady") line_.said = SaidTrend::steady;
    else if (word == "cold" || word == "warm" || word == "hot") line_.conditions.ambient = word;
    else if (word == "red" || word == "black" || word == "with" || word == "ambient") {
      const auto name = follows(word.c_str());
      if (!name) return fault(text_.size(), "nothing behind \"" + word + "\"", word == "with" ? "the name of the meter" : word == "ambient" ? "a word on the surroundings (22°C)" : "where that lead is (GND, TP3)");
      (word == "red" ? line_.conditions.red_lead : word == "black" ? line_.conditions.black_lead : word == "ambient" ? line_.conditions.ambient : line_.conditions.instrument) = *name;
    } else if (word == "every") {
      const std::size_t start = token.end;
      const auto time = follows("every");
      if (!time || !read_every(*time)) return fault(time ? tokens_[next_].start : start, "no time behind \"every\"", "seconds between the values, as in every 5s");
    } else if (const auto quantity = parse_quantity_name(word)) {
      said_quantity_ = quantity;
      said_quantity_start_ = token.start;
    } else {
      taken = false;
      return std::nullopt;
    }
    ++next_;
    return std::nullopt;
  }

  bool read_every(std::string time) {
    if (!time.empty() && time.back() == 's') time.pop_back();
    const ParsedNumber parsed = parse_si_number(time);
    const auto* number = std::get_if<SiNumber>(&parsed);
    if (!number || number->unit || number->power_of_ten != 0 || !(number->value >= 0.001) || number->value > 86400) return false;
    line_.every_s = number->value;
    return true;
  }

  // Settles the quantity, or asks.
  ParsedEntry readings() {
    const PartClass part = part_class(line_.refdes);
    std::vector<Quantity> possible;
    bool first = true;
    for (const ValueSpan& span : values_) {
      std::vector<Quantity> here = span.value.qualifier == Qualifier::overload ? possible_quantities_of_overload(part)
                                                                                : possible_quantities(span.value.number, part, line_.conditions.power);
      if (said_quantity_) {
        if (span.value.number.unit && unit_of(*said_quantity_) != *span.value.number.unit)
          return fault(span.start, "\"" + span.value.typed + "\" is not in the unit of " + std::string(quantity_name(*said_quantity_)),
                       "a value in " + std::string(unit_symbol(*said_quantity_)));
        here = {*said_quantity_};
      } else if (span.value.qualifier == Qualifier::overload && values_.size() > 1) {
        continue;  // the others say
      }
      if (first) possible = here;
      else {
        std::vector<Quantity> both;
        for (const Quantity quantity : possible)
          if (std::find(here.begin(), here.end(), quantity) != here.end()) both.push_back(quantity);
        if (both.empty()) return fault(span.start, "\"" + span.value.typed + "\" is another quantity than the values before it", "one quantity a line");
        possible = both;
      }
      first = false;
    }
    if (possible.empty()) possible = possible_quantities_of_overload(part);
    if (auto question = tail_question(possible)) return *question;
    if (possible.size() > 1) return quantity_question(possible, part);
    line_.quantity = possible[0];
    if (auto wrong = implausible()) return *wrong;
    for (const ValueSpan& span : values_) line_.values.push_back(span.value);
    add_cautions();
    return line_;
  }

  // "10.2 10.9 11.4k": are the bare ones in kilohms too?
  std::optional<EntryQuestion> tail_question(const std::vector<Quantity>& possible) const {
    const ValueSpan *bare = nullptr, *tailed = nullptr;
    for (const ValueSpan& span : values_) {
      if (span.value.qualifier == Qualifier::overload) continue;
      if (span.bare && span.value.number.value != 0) bare = bare ? bare : &span;
      else if (!span.bare && span.value.number.power_of_ten != 0) tailed = &span;
    }
    if (!bare || !tailed) return std::nullopt;
    const std::string prefix(prefix_symbol(tailed->value.number.power_of_ten));
    std::vector<std::string> tails;
    if (tailed->value.number.unit || possible.size() == 1) {
      const std::string unit(unit_symbol(tailed->value.number.unit ? quantity_of(*tailed->value.number.unit) : possible[0]));
      tails = {prefix + unit, unit};
    } else {  // the quantity is open too: the prefix alone settles nothing of it
      tails = {prefix};
      for (const Quantity quantity : possible)
        if (const std::string unit(unit_symbol(quantity)); std::find(tails.begin(), tails.end(), unit) == tails.end()) tails.push_back(unit);
    }
    EntryQuestion question{column_of(text_, bare->start), "is " + bare->value.typed + " in " + tails[0] + " as well?", {}};
    for (const std::string& tail : tails) question.choices.push_back({bare->value.number.digits + " " + tail, with_tails(tail, true)});
    return question;
  }

  std::string with_tails(const std::string& tail, bool only_bare) const {
    std::string changed(text_);
    for (auto span = values_.rbegin(); span != values_.rend(); ++span)
      if (span->value.qualifier != Qualifier::overload && !span->value.number.unit && (span->bare || !only_bare)) changed.insert(span->number_end, tail);
    return changed;
  }
  // A word goes behind the last value, before any free words.
  std::string with_word(std::string changed, std::string_view word) const {
    const std::size_t grown = changed.size() - text_.size();
    return changed.insert(values_.back().end + grown, " " + std::string(word));
  }

  EntryQuestion quantity_question(const std::vector<Quantity>& possible, PartClass part) const {
    const ValueSpan& span = values_.front();
    EntryQuestion question{column_of(text_, span.start), "what is " + span.value.typed + "?", {}};
    const bool unitless = span.value.qualifier != Qualifier::overload && !span.value.number.unit;
    for (const Quantity quantity : possible) {
      if (quantity == Quantity::capacitance && part == PartClass::capacitor && span.bare) {
        for (const char* tail : {"pF", "nF", "µF"}) question.choices.push_back({span.value.number.digits + " " + tail, with_tails(tail, false)});
        continue;
      }
      std::string line = unitless ? with_tails(std::string(unit_symbol(quantity)), false) : std::string(text_);
      const bool needs_word = !unitless || quantity == Quantity::diode || quantity == Quantity::voltage;
      if (needs_word) line = with_word(std::move(line), quantity_name(quantity));
      question.choices.push_back({span.value.qualifier == Qualifier::overload
                                      ? std::string(quantity_name(quantity)) + " over range"
                                      : print_si_number(span.value.number, quantity) + ", " + std::string(quantity_name(quantity)),
                                  std::move(line)});
    }
    return question;
  }

  // A value no such quantity has is more likely a slip than a reading.
  std::optional<ParsedEntry> implausible() const {
    for (const ValueSpan& span : values_) {
      if (span.value.qualifier == Qualifier::overload) continue;
      const double value = span.value.number.value;
      const bool no_sign = line_.quantity == Quantity::capacitance || line_.quantity == Quantity::inductance || line_.quantity == Quantity::frequency;
      if (value < 0 && no_sign) return ParsedEntry(fault(span.start, "a " + std::string(quantity_name(line_.quantity)) + " is not negative", "a value of 0 or more"));
      if (line_.quantity == Quantity::diode && std::fabs(value) > 10 && !span.value.number.unit && span.bare)
        return ParsedEntry(EntryQuestion{column_of(text_, span.start), "is " + span.value.typed + " in millivolts?",
                                         {{span.value.number.digits + " mV", with_tails("mV", true)}, {span.value.number.digits + " V", with_tails("V", true)}}});
    }
    return std::nullopt;
  }

  void add_cautions() {
    const bool probed = line_.quantity == Quantity::resistance || line_.quantity == Quantity::diode;
    if (probed && line_.conditions.power == Power::on)
      line_.cautions.push_back("a " + std::string(quantity_name(line_.quantity)) + " reading with power on is not valid and can harm the meter: switch off and discharge first");
    for (const EntryValue& value : line_.values) {
      if (line_.quantity == Quantity::resistance && value.qualifier != Qualifier::overload && value.number.value < 0)
        line_.cautions.push_back("a negative resistance: the circuit still holds a charge; discharge it and measure again");
      if (line_.quantity == Quantity::capacitance && value.number.power_of_ten == -3)
        line_.cautions.push_back("mF is read as millifarad; old drawings write it for µF");
    }
  }

  std::string_view text_;
  const EntryContext& context_;
  std::vector<EntryToken> tokens_;
  std::size_t next_ = 0;
  std::vector<ValueSpan> values_;
  std::optional<Quantity> said_quantity_;
  std::size_t said_quantity_start_ = 0;
  EntryLine line_;
};

}  // namespace

const std::vector<std::string_view>& action_verbs() {
  static const std::vector<std::string_view> verbs{"replaced", "reflowed", "removed", "lifted", "fitted", "cleaned", "resoldered",
                                                   "desoldered", "reballed", "swapped", "bridged", "jumpered", "cut", "inspected"};
  return verbs;
}

std::vector<MarkPtr> marks_called(const Layer& layer, std::string_view refdes) {
  const std::string name = upper(refdes);
  std::vector<MarkPtr> parts, others;
  layer.marks.each([&](const MarkPtr& mark) {
    if (mark->refdes.size() != name.size() || upper(mark->refdes) != name) return;
    (mark->kind == MarkKind::part || mark->kind == MarkKind::probe ? parts : others).push_back(mark);
  });
  return parts.empty() ? others : parts;
}

ParsedEntry parse_entry_line(std::string_view text, const EntryContext& context) { return EntryParser(text, context).parse(); }

}  // namespace boardlore
