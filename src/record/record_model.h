// What a job's record says, before anybody decides how it looks.
//
// An owner reads it, the shop stands on it in a warranty case, another technician follows it. So it is one
// list of sections made by one pure function, and PDF, HTML, Markdown and JSON only lay it out: they cannot
// say different things. Judging is done by the caller and comes in as text, so that a record made again says
// what was said then.
#pragma once

#include <map>
#include <variant>

#include "domain/frames.h"
#include "editing/document.h"

namespace boardlore {

// The owner's version leaves out internal notes, prices, sources of parts and the names of people other
// than the technician who hands back.
enum class Audience { owner, shop };

// What judging said of a reading.
struct ReadingVerdict {
  std::string verdict;  // "in limits", "above the limit", "short"; empty: nothing to judge by
  std::string limit;    // "9.9 kΩ to 10.1 kΩ"
  bool fault = false;   // out of limits, short, open: drawn so that it is seen
};

struct RecordInput {
  Snapshot snapshot;                            // with a job
  Audience audience = Audience::owner;
  std::map<Id, ReadingVerdict> verdicts;        // by reading
  std::vector<std::string> more_cautions;       // of the marks and actions, in words
  std::map<Id, std::string> photo_faults;       // by photo: "missing", "changed since it was taken in"
};

struct Fact {
  std::string name, value;
};
struct FactList {
  std::vector<Fact> facts;
};

enum class TextKind { plain, caution, small, quote };
struct Paragraph {
  std::string text;
  TextKind kind = TextKind::plain;
};

struct TableRow {
  std::vector<std::string> cells;
  Id mark;             // lights up on the photos; empty: none
  bool fault = false;
};
struct Table {
  std::string caption;
  std::vector<std::string> headers;
  std::vector<TableRow> rows;
};

// One photo, or a piece of it, with the overlay.
struct Picture {
  Id photo;
  int number = 0;                        // in the order they are shown, from 1
  std::string caption;
  std::vector<Id> marks;                 // drawn as selected
  std::optional<BoardPoint> ring_at;     // ringed on the whole photo
  std::optional<BoardPoint> close_up_at; // the photo around here only, this far in every direction
  double close_up_reach_mm = 0;
  bool overlay = true;
  std::optional<double> seen_turn_deg{};  // how the technician had the board on the screen: its y, clockwise from up
  bool on_board_frame = false;           // straightened: board x right, or mirrored for the bottom as it is seen
};
// Several pictures side by side; one reads them from left to right.
struct PictureRow {
  std::vector<Picture> pictures;
};
// The same place before and after, both brought onto the board frame.
struct BeforeAfter {
  Picture before, after;
  std::string answer;                    // of the comparison; empty: not compared
};

using Block = std::variant<FactList, Paragraph, Table, PictureRow, BeforeAfter>;

struct Section {
  std::string title;
  int level = 1;        // 2: below the section before
  Id mark;              // the section about one mark
  std::vector<Block> blocks;
};

struct Record {
  std::string title;     // "Repair record: Brackenwick GC12 B"
  std::string subject;   // one line for the document's information
  std::string author;    // who hands back
  Timestamp dated;       // of hand-back, else of the newest thing in the job
  std::string language = "en";
  std::vector<Section> sections;
  std::vector<Id> mentioned;  // marks that readings, actions or spares speak of, by id
};

// Refused where the snapshot holds no job.
Result<Record> record_of(const RecordInput& input);

// By number.
std::vector<const Picture*> pictures_of(const Record& record);

}  // namespace boardlore
