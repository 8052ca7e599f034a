#include "import/ipc_d_356.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdio>
#include <map>

namespace boardlore {
namespace {

constexpr std::size_t record_columns = 80;

// Columns from 1, both ends included, as the format's tables count; blank where the line is shorter.
std::string_view columns(std::string_view line, std::size_t first, std::size_t last) {
  if (line.size() < first) return {};
  return line.substr(first - 1, last - first + 1);
}

std::optional<long> whole_number(std::string_view text) {
  text = trimmed(text);
  bool negative = false;
  if (!text.empty() && (text[0] == '+' || text[0] == '-')) {
    negative = text[0] == '-';
    text = trimmed(text.substr(1));
  }
  if (text.empty() || text.size() > 9) return std::nullopt;
  long value = 0;
  for (const char c : text) {
    if (c < '0' || c > '9') return std::nullopt;
    value = value * 10 + (c - '0');
  }
  return negative ? -value : value;
}

// "cust,  1" -> "CUST 1": writers disagree on blanks, commas and case.
std::string plain_words(std::string_view text) {
  std::string plain;
  for (const char c : text) {
    if (c == ' ' || c == '\t' || c == ',') {
      if (!plain.empty() && plain.back() != ' ') plain += ' ';
    } else {
      plain += static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
    }
  }
  while (!plain.empty() && plain.back() == ' ') plain.pop_back();
  return plain;
}

bool is_test_code(std::string_view code) {
  return code.size() == 3 && (code[0] == '3' || code[0] == '0') && code[1] >= '0' && code[1] <= '9' &&
         code[2] == '7';
}

class Reader {
 public:
  Reader(std::string_view file, std::optional<NetlistUnit> unit)
      : file_(file), override_(unit), unit_(unit) {}

  Result<Netlist> read(std::string_view text, std::vector<std::string> remarks) {
    netlist_.remarks = std::move(remarks);
    int line = 0;
    std::size_t lines_of_data = 0;
    for (std::size_t at = 0; at < text.size();) {
      std::string_view record = text.substr(at, std::min(text.find('\n', at), text.size()) - at);
      at += record.size() + 1;
      ++line;
      while (!record.empty() && (record.back() == ' ' || record.back() == '\x1A')) record.remove_suffix(1);
      if (record.empty() || record[0] == 'C' || record[0] == 'c') continue;
      if (ended_) {
        refuse(line, "a record behind the end record 999");
        continue;
      }
      if (record[0] == 'P' || record[0] == 'p') {
        if (auto problem = parameter(record, line)) return *problem;
        continue;
      }
      if (++lines_of_data > max_import_rows)
        return Problem{std::string(file_), "", "at most " + std::to_string(max_import_rows) + " records",
                       "more", Outcome::bad_input};
      if (record.size() > record_columns) {
        ++too_wide_;
        record = record.substr(0, record_columns);
      }
      data(record, line);
    }
    return finish();
  }

 private:
  void refuse(int line, std::string reason) {
    ++netlist_.refused_count;
    if (netlist_.refused.size() < max_refused_rows_kept)
      netlist_.refused.push_back({line, std::move(reason)});
  }

  std::optional<Problem> parameter(std::string_view record, int line) {
    const std::string_view body = trimmed(record.substr(1));
    const std::size_t space = body.find_first_of(" \t");
    const std::string name = plain_words(body.substr(0, space));
    const std::string_view value =
        space == std::string_view::npos ? std::string_view{} : trimmed(body.substr(space));
    if (name == "JOB") netlist_.job = shortened(value, 200);
    if (name == "UNITS") {
      std::optional<NetlistUnit> said;
      const std::string words = plain_words(value);
      if (words == "CUST" || words == "CUST 0" || words == "CUST0") said = NetlistUnit::inch_degrees;
      if (words == "CUST 1" || words == "CUST1" || words == "SI") said = NetlistUnit::mm_degrees;
      if (words == "CUST 2" || words == "CUST2") said = NetlistUnit::inch_radians;
      if (!said && !override_)
        return Problem{std::string(file_), "line " + std::to_string(line),
                       "UNITS of CUST 0, CUST 1, CUST 2 or SI (or --units)", "\"" + shortened(value) + "\"",
                       Outcome::bad_input};
      if (said && !override_) {
        if (!netlist_.points.empty() && said != unit_)
          return Problem{std::string(file_), "line " + std::to_string(line), "units before the first point",
                         "a change of units between points", Outcome::bad_input};
        unit_ = said;
      }
    }
    // A net name longer than 14 columns: the record's net column then says NNAME1.
    if (name.size() > 5 && name.substr(0, 5) == "NNAME" && !value.empty() &&
        aliases_.size() < max_import_rows)
      aliases_[name] = shortened(value, 250);
    return std::nullopt;
  }

  double mm_of(long units) const {
    // 0.001 mm; else 0.0001 inch of 25.4 mm.
    return static_cast<double>(units) * (unit_ == NetlistUnit::mm_degrees ? 0.001 : 0.00254);
  }

  void data(std::string_view record, int line) {
    const std::string_view code = record.substr(0, 3);
    if (code == "999") {
      ended_ = true;
      return;
    }
    if (code == "378" || code == "379" || code == "389" || code == "078" || code == "079" || code == "089") {
      ++passed_over_;
      return;
    }
    if (!is_test_code(code))
      return refuse(line, "\"" + shortened(code) + "\" is not a record of this format");
    for (const char c : record)
      if (static_cast<unsigned char>(c) >= 0x80) return refuse(line, "characters beyond ASCII");
    if (!unit_) {
      unit_ = NetlistUnit::inch_degrees;
      netlist_.remarks.emplace_back(
          "no UNITS record before the points; taken as 0.0001 inch (override with --units)");
    }
    if (const auto point = test_point(record, line)) netlist_.points.push_back(*point);
  }

  std::optional<NetlistPoint> test_point(std::string_view record, int line) {
    const bool continues = record[0] == '0';
    if (continues && netlist_.points.empty()) {
      refuse(line, "continues a point that is not there");
      return std::nullopt;
    }
    NetlistPoint point;
    point.line = line;
    const char feature =
        record[1];  // 1 through hole, 2 surface, 3 tooling feature, 4 tooling hole, 6 non-plated hole
    std::string net(trimmed(columns(record, 4, 17)));
    std::string refdes(trimmed(columns(record, 21, 26)));
    if (continues) {
      const NetlistPoint& last = netlist_.points.back();
      point.net = net.empty() ? last.net : net;
      point.refdes = last.refdes, point.pin = last.pin, point.is_via = last.is_via;
    }
    if (const auto alias = aliases_.find(net); alias != aliases_.end())
      net = alias->second;
    else if (net.substr(0, 5) == "NNAME" && net.size() > 5)
      ++unknown_aliases_;
    if (net == "N/C") net.clear();
    if (!continues || !net.empty()) point.net = net;
    if (!refdes.empty() || !continues) {
      point.is_via = refdes == "VIA";
      point.refdes = point.is_via ? "" : refdes;
      point.pin = std::string(trimmed(columns(record, 28, 31)));
    }
    point.is_hole = feature != '2';
    point.mid_point = columns(record, 32, 32) == "M";
    if (columns(record, 33, 33) == "D") {
      const auto hole = whole_number(columns(record, 34, 37));
      if (!hole || *hole < 0)
        return refuse(line,
                      "hole diameter (columns 34-37) is \"" + std::string(columns(record, 34, 37)) + "\""),
               std::nullopt;
      point.hole_mm = mm_of(*hole);
    }
    if (columns(record, 38, 38) == "P") point.plated = true;
    if (columns(record, 38, 38) == "U") point.plated = false;
    if (columns(record, 39, 39) == "A") {
      const auto access = whole_number(columns(record, 40, 41));
      if (!access || *access < 0 || *access > 99)
        return refuse(line, "access (columns 40-41) is \"" + std::string(columns(record, 40, 41)) + "\""),
               std::nullopt;
      point.access = static_cast<int>(*access);
    }
    const auto x = columns(record, 42, 42) == "X" ? whole_number(columns(record, 43, 49)) : std::nullopt;
    const auto y = columns(record, 50, 50) == "Y" ? whole_number(columns(record, 51, 57)) : std::nullopt;
    if (!x || !y)
      return refuse(line, std::string(!x ? "no X and number in columns 42-49: \""
                                         : "no Y and number in columns 50-57: \"") +
                              std::string(!x ? columns(record, 42, 49) : columns(record, 50, 57)) + "\""),
             std::nullopt;
    point.at = {mm_of(*x), mm_of(*y)};
    if (columns(record, 58, 58) == "X")
      if (const auto width = whole_number(columns(record, 59, 62))) point.width_mm = mm_of(*width);
    if (columns(record, 63, 63) == "Y")
      if (const auto height = whole_number(columns(record, 64, 67))) point.height_mm = mm_of(*height);
    if (point.width_mm && point.height_mm && *point.height_mm == 0)
      point.height_mm = point.width_mm;  // 0: round
    if (columns(record, 68, 68) == "R")
      if (const auto rotation = whole_number(columns(record, 69, 71)); rotation) {
        if (unit_ == NetlistUnit::inch_radians)
          ++rotations_dropped_;
        else
          point.rotation_deg = static_cast<double>(*rotation);
      }
    netlist_.layer_count = std::max(netlist_.layer_count, point.access);
    return point;
  }

  Result<Netlist> finish() {
    const auto say = [&](std::string remark) { netlist_.remarks.push_back(std::move(remark)); };
    if (netlist_.points.empty()) {
      std::string found = "none";
      if (!netlist_.refused.empty())
        found += "; the first record refused, on line " + std::to_string(netlist_.refused[0].line) + ": " +
                 netlist_.refused[0].reason;
      return Problem{std::string(file_), "", "test records with X and Y", std::move(found),
                     Outcome::bad_input};
    }
    if (override_) say("units overridden by --units");
    if (unit_ == NetlistUnit::inch_radians)
      say("UNITS CUST 2 means 0.0001 inch and radians; some writers use it for 0.00001 inch or micrometres: "
          "check the size (override with --units)");
    if (rotations_dropped_ > 0)
      say(std::to_string(rotations_dropped_) + " rotations in radians with three digits were not used");
    if (netlist_.layer_count > 1)
      say("layer " + std::to_string(netlist_.layer_count) +
          " is the highest access number; taken as the bottom");
    if (passed_over_ > 0)
      say(std::to_string(passed_over_) + " conductor, adjacency and outline records passed over");
    if (too_wide_ > 0)
      say(std::to_string(too_wide_) + " records are longer than 80 columns; the rest of each was left");
    if (unknown_aliases_ > 0)
      say(std::to_string(unknown_aliases_) + " points name a long net (NNAME) that no parameter spells out");
    std::map<std::pair<std::string, std::string>, std::string> net_of;
    std::size_t contradictions = 0;
    std::string first;
    for (const NetlistPoint& point : netlist_.points) {
      if (point.refdes.empty() || point.pin.empty() || point.net.empty()) continue;
      const auto [entry, is_new] = net_of.emplace(std::pair{point.refdes, point.pin}, point.net);
      if (is_new || entry->second == point.net) continue;
      if (contradictions++ == 0)
        first = point.refdes + "." + point.pin + " (" + entry->second + ", and " + point.net + " on line " + std::to_string(point.line) + ")";
    }
    if (contradictions > 0)
      say(std::to_string(contradictions) + " points put a pin on a second net: " + first + "; the last one counts");
    if (!ended_) say("no end record 999; the file may have been cut short");
    return std::move(netlist_);
  }

  std::string_view file_;
  std::optional<NetlistUnit> override_, unit_;
  Netlist netlist_;
  std::map<std::string, std::string, std::less<>> aliases_;
  bool ended_ = false;
  std::size_t passed_over_ = 0, too_wide_ = 0, unknown_aliases_ = 0, rotations_dropped_ = 0;
};

}  // namespace

bool looks_like_netlist(std::string_view bytes) {
  // Enough for long preambles of comments; an odd tail of UTF-16 would be no matter either.
  constexpr std::size_t looked_at = 64U << 10U;
  const Result<ImportText> decoded = decode_import_text(bytes.substr(0, looked_at), "");
  if (!decoded) return false;
  const std::string_view text = decoded->text;
  int tests = 0, records = 0, others = 0;
  for (std::size_t at = 0; at < text.size() && records + others < 40;) {
    const std::string_view line = text.substr(at, std::min(text.find('\n', at), text.size()) - at);
    at += line.size() + 1;
    if (trimmed(line).empty()) continue;
    const bool test = is_test_code(line.substr(0, 3)) && line.size() >= 57 && line[41] == 'X';
    const std::string_view code = line.substr(0, 3);
    const bool other_data = code == "378" || code == "379" || code == "389" || code == "999";
    // A comment or parameter: the letter alone, or with something behind it that begins no word ("C1,10,20" does).
    const bool letter = line[0] == 'C' || line[0] == 'P' || line[0] == 'c' || line[0] == 'p';
    if (letter && !test && (line.size() == 1 || !std::isalnum(static_cast<unsigned char>(line[1])))) {
      if (line.size() > 2 && line[1] == ' ' && line[2] == ' ') ++records;
      continue;
    }
    if (test) ++tests;
    ++(test || other_data ? records : others);
  }
  return (tests > 0 || records > 0) && records >= 4 * others;
}

std::optional<Side> side_of(const NetlistPoint& point, const Netlist& netlist) {
  if (point.access == 1) return Side::top;
  if (point.access > 1 && point.access == netlist.layer_count) return Side::bottom;
  return std::nullopt;
}

Result<Netlist> read_netlist(std::string_view bytes, std::string_view file, std::optional<NetlistUnit> unit) {
  Result<ImportText> decoded = decode_import_text(bytes, file);
  if (!decoded) return decoded.problem();
  return Reader(file, unit).read(decoded->text, std::move(decoded->remarks));
}

std::string write_netlist(const Netlist& netlist) {
  std::string text = "P  JOB   " + netlist.job + "\nP  UNITS CUST 1\n";
  std::map<std::string, std::string> aliases;
  for (const NetlistPoint& point : netlist.points)
    if (point.net.size() > 14 && !aliases.count(point.net)) {
      std::string alias = "NNAME" + std::to_string(aliases.size() + 1);
      text += "P  " + alias + "  " + point.net + "\n";
      aliases.emplace(point.net, std::move(alias));
    }
  for (const NetlistPoint& point : netlist.points) {
    const auto alias = aliases.find(point.net);
    const std::string net = point.net.empty() ? "N/C" : alias != aliases.end() ? alias->second : point.net;
    char line[160];
    const auto units = [](double mm) { return std::lround(std::clamp(mm, -999.0, 999.0) * 1000); };
    std::snprintf(line, sizeof line, "3%c7%-14.14s   %-6.6s%c%-4.4s%c", point.is_hole ? '1' : '2',
                  net.c_str(), point.is_via ? "VIA" : point.refdes.c_str(), point.pin.empty() ? ' ' : '-',
                  point.pin.c_str(), point.mid_point ? 'M' : ' ');
    text += line;
    if (point.hole_mm) {
      std::snprintf(line, sizeof line, "D%04ld", std::min(units(*point.hole_mm), 9999L));
      text += line;
    } else {
      text += "     ";
    }
    text += point.plated ? (*point.plated ? 'P' : 'U') : ' ';
    std::snprintf(line, sizeof line, "A%02dX%+07ldY%+07ld", point.access, units(point.at.x_mm),
                  units(point.at.y_mm));
    text += line;
    text += "\n";
  }
  return text + "999\n";
}

}  // namespace boardlore
