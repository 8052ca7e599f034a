#include "judging/readings_table.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>

namespace boardlore {
namespace {

std::string lower(std::string_view text) {
  std::string result(text);
  for (char& c : result) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return result;
}

bool passes(const ReadingRow& row, const ReadingFilter& filter, const std::string& wanted) {
  if (filter.quantity && row.reading.quantity != *filter.quantity) return false;
  if (filter.out_of_limits_only && !is_out_of_limits(row.judgement.verdict)) return false;
  if (wanted.empty()) return true;
  const Reading& reading = row.reading;
  const std::string point = reading.pin.empty() ? reading.refdes : reading.refdes + "." + reading.pin;
  for (const std::string& text : {point, reading.words, reading.by, row.value, std::string(quantity_name(reading.quantity)), std::string(verdict_words(row.judgement.verdict))})
    if (lower(text).find(wanted) != std::string::npos) return true;
  return false;
}

bool is_plain_number(std::string_view text) {
  if (text.starts_with('+')) return false;
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  return error == std::errc{} && end == text.data() + text.size();
}

std::string shortest(double value) {
  std::array<char, 40> text{};
  const auto [end, error] = std::to_chars(text.data(), text.data() + text.size(), value);
  return error == std::errc{} ? std::string(text.data(), end) : std::string();
}

std::string_view qualifier_name(Qualifier qualifier) {
  switch (qualifier) {
    case Qualifier::exact: return "exact";
    case Qualifier::at_least: return "at-least";
    case Qualifier::at_most: return "at-most";
    case Qualifier::overload: break;
  }
  return "overload";
}

}  // namespace

std::optional<ReadingOrder> parse_reading_order(std::string_view name) {
  constexpr std::array<std::pair<std::string_view, ReadingOrder>, 5> names{{{"taken", ReadingOrder::taken}, {"refdes", ReadingOrder::refdes},
      {"quantity", ReadingOrder::quantity}, {"verdict", ReadingOrder::verdict}, {"value", ReadingOrder::value}}};
  for (const auto& [one, order] : names)
    if (one == name) return order;
  return std::nullopt;
}

std::vector<ReadingRow> reading_rows(const Layer& layer, const Job& job, const ReadingFilter& filter, ReadingOrder order, bool descending, Timestamp now) {
  const std::vector<Judgement> judged = judge_readings(layer, job, now);
  const std::string wanted = lower(filter.text);
  std::vector<ReadingRow> rows;
  for (std::size_t i = 0; i < job.readings.size(); ++i) {
    ReadingRow row{job.readings[i], print_reading(job.readings[i]), judged[i]};
    if (passes(row, filter, wanted)) rows.push_back(std::move(row));
  }
  const auto before = [order](const ReadingRow& a, const ReadingRow& b) {
    switch (order) {
      case ReadingOrder::taken: break;
      case ReadingOrder::refdes:
        if (a.reading.refdes != b.reading.refdes) return designator_before(a.reading.refdes, b.reading.refdes);
        if (a.reading.pin != b.reading.pin) return a.reading.pin.size() != b.reading.pin.size() ? a.reading.pin.size() < b.reading.pin.size() : a.reading.pin < b.reading.pin;
        break;
      case ReadingOrder::quantity:
        if (a.reading.quantity != b.reading.quantity) return a.reading.quantity < b.reading.quantity;
        break;
      case ReadingOrder::verdict:
        if (a.judgement.verdict != b.judgement.verdict) return a.judgement.verdict < b.judgement.verdict;
        break;
      case ReadingOrder::value:
        if (a.reading.quantity != b.reading.quantity) return a.reading.quantity < b.reading.quantity;
        if (a.reading.value != b.reading.value) return a.reading.value < b.reading.value;
        break;
    }
    return a.reading.taken_at < b.reading.taken_at;
  };
  if (descending) std::stable_sort(rows.begin(), rows.end(), [&](const ReadingRow& a, const ReadingRow& b) { return before(b, a); });
  else std::stable_sort(rows.begin(), rows.end(), before);
  return rows;
}

std::string csv_cell(std::string_view text) {
  std::string cell(text);
  if (!cell.empty() && std::string_view("=+-@\t\r").find(cell[0]) != std::string_view::npos && !is_plain_number(text)) cell.insert(0, "'");
  if (cell.find_first_of(",\"\r\n") == std::string::npos) return cell;
  std::string quoted = "\"";
  for (const char c : cell) {
    if (c == '"') quoted += '"';
    quoted += c;
  }
  return quoted + "\"";
}

std::string readings_csv(const std::vector<ReadingRow>& rows) {
  std::string csv = "refdes,pin,quantity,qualifier,value,unit,typed,verdict,reason,power,red_lead,black_lead,instrument,ambient,said,taken_at,by,words\r\n";
  for (const ReadingRow& row : rows) {
    const Reading& r = row.reading;
    const std::string value = r.qualifier == Qualifier::overload ? "" : shortest(r.value);
    const std::string said = !r.said ? "" : *r.said == SaidTrend::rising ? "rising" : *r.said == SaidTrend::falling ? "falling" : "steady";
    bool first = true;
    for (const std::string& cell : {r.refdes, r.pin, std::string(quantity_name(r.quantity)), std::string(qualifier_name(r.qualifier)), value,
                                    std::string(ucum_code(r.quantity)), r.typed, std::string(verdict_name(row.judgement.verdict)), row.judgement.reason,
                                    std::string(r.conditions.power == Power::on ? "on" : "off"), r.conditions.red_lead, r.conditions.black_lead,
                                    r.conditions.instrument, r.conditions.ambient, said, to_rfc3339(r.taken_at), r.by, r.words}) {
      if (!first) csv += ',';
      csv += csv_cell(cell);
      first = false;
    }
    csv += "\r\n";
  }
  return csv;
}

}  // namespace boardlore
