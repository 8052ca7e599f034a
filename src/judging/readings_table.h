// The table of all readings of a job: rows with their verdicts, sorted and filtered, and as CSV.
//
// One table for the window, `boardlore readings` and the spreadsheet, so that they never differ. CSV as in
// RFC 4180. A spreadsheet runs a cell that begins with = + - @ as a formula, so text that does (and is no
// plain number) gets an apostrophe in front.
#pragma once

#include "domain/layer.h"
#include "judging/judge.h"

namespace boardlore {

struct ReadingRow {
  Reading reading;
  std::string value;     // "10.5 kΩ", "OL"
  Judgement judgement;   // as it stood when the reading was taken
};

enum class ReadingOrder { taken, refdes, quantity, verdict, value };
std::optional<ReadingOrder> parse_reading_order(std::string_view name);

struct ReadingFilter {
  std::string text;                  // any of designator, pin, words, by: contains, case ignored
  std::optional<Quantity> quantity;
  bool out_of_limits_only = false;
};

std::vector<ReadingRow> reading_rows(const Layer& layer, const Job& job, const ReadingFilter& filter, ReadingOrder order, bool descending, Timestamp now);

// Header line first, CR LF line ends.
std::string readings_csv(const std::vector<ReadingRow>& rows);
// One cell: harmless, and quoted where it must be.
std::string csv_cell(std::string_view text);

}  // namespace boardlore
