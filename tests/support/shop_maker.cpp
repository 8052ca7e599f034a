#include "support/shop_maker.h"

#include <array>
#include <cstdio>
#include <fstream>
#include <random>

#include "storage/documents.h"

namespace boardlore {
namespace {

namespace fs = std::filesystem;

// Invented makers and models.
constexpr std::array makers{"Tallow Works", "Brackenwick", "Ostrey", "Mill Lane Audio", "Corrin & Dale"};
constexpr std::array things{"Greenhouse Controller", "Pump Driver", "Stage Amplifier", "Kiln Timer", "Bench Supply", "Door Panel"};
constexpr std::array symptoms{"dead", "no display", "hums", "resets", "overheats", "no charge", "intermittent", "wrong reading"};
constexpr std::array words{"does not switch on since the storm", "works when tapped", "smells of burnt varnish", "display flickers when warm",
                           "fuse blew twice", "fell from a bench", "stopped after a firmware change", "was wet for a night"};
constexpr std::array cures{"replaced", "reflowed", "cleaned", "resoldered"};
constexpr std::array note_words{"lifted pad mended with wire", "corrosion under the shield", "via open between the layers", "spare came from the drawer",
                                "cracked ceramic beside the screw", "electrolyte on the trace", "joint dull and grainy", "connector pushed in"};

Id id_of(int kind, int number, int part) {
  char text[48];
  std::snprintf(text, sizeof text, "0%07x-%04x-7000-8000-%012x", kind, part & 0xFFFF, number);
  return Id{text};
}

std::size_t write(const fs::path& file, const std::string& text) {
  fs::create_directories(file.parent_path());
  std::ofstream(file, std::ios::binary) << text;
  return text.size();
}

std::string refdes_of(int mark) { return std::string(1, "RCUQL"[mark % 5]) + std::to_string(mark / 5 + 1); }

}  // namespace

ShopMade make_shop(const fs::path& dir, const ShopSize& size) {
  ShopMade made;
  std::mt19937 random(20260105);
  const auto pick = [&](int n) { return static_cast<int>(random() % static_cast<unsigned>(n)); };
  const auto one_of = [&](const auto& list) { return std::string(list[static_cast<std::size_t>(pick(static_cast<int>(list.size())))]); };
  std::vector<Board> boards;
  for (int b = 0; b < size.boards; ++b) {
    Layer layer;
    layer.id = id_of(1, b, 0);
    layer.board.maker = one_of(makers), layer.board.model = one_of(things) + " " + std::to_string(100 + b);
    layer.board.revision = std::string(1, static_cast<char>('A' + b % 4));
    layer.board.width_mm = 120, layer.board.height_mm = 80;
    layer.settings.symptoms.assign(symptoms.begin(), symptoms.end());
    std::vector<MarkPtr> marks;
    for (int m = 0; m < size.marks_a_board; ++m) {
      Mark mark;
      mark.id = id_of(2, b, m), mark.kind = MarkKind::part, mark.refdes = refdes_of(m);
      mark.at = {2.0 + 116.0 * (m % 10) / 10, 2.0 + 76.0 * (m / 10) / std::max(1, size.marks_a_board / 10)};
      mark.value = std::to_string(10 + pick(90)) + "k";
      if (m % 12 == 0) {
        Note note;
        note.id = id_of(3, b, m), note.text = one_of(note_words), note.at = Timestamp{1'600'000'000'000};
        mark.notes.push_back(note);
      }
      marks.push_back(std::make_shared<const Mark>(std::move(mark)));
    }
    layer.marks = MarkTable(std::move(marks));
    boards.push_back(layer.board);
    made.bytes += write(dir / "boards" / ("board-" + std::to_string(b)) / "layer.json", write_layer(layer));
    ++made.files;
  }
  for (int j = 0; j < size.jobs; ++j) {
    Job job;
    const int b = pick(size.boards);
    const Board& board = boards[static_cast<std::size_t>(b)];
    job.id = id_of(4, j, 0);
    job.board = BoardLink{id_of(1, b, 0), "../../../boards/board-" + std::to_string(b), board.maker, board.model, board.revision};
    job.unit.serial = "SN-" + std::to_string(100000 + j), job.unit.owner = "Owner " + std::to_string(j % 4000);
    job.reported = one_of(words), job.symptom = one_of(symptoms), job.technician = "bench " + std::to_string(1 + pick(4));
    job.opened_at = Timestamp{1'500'000'000'000 + std::int64_t{j} * 7'200'000};
    for (int r = 0; r < size.readings_a_job; ++r) {
      const int m = pick(size.marks_a_board);
      Reading reading;
      reading.id = id_of(5, j, r), reading.mark = id_of(2, b, m), reading.refdes = refdes_of(m);
      reading.value = 10.0 + pick(100'000), reading.typed = std::to_string(pick(1000)) + "k";
      reading.taken_at = Timestamp{job.opened_at.ms + r * 60'000}, reading.by = job.technician;
      job.readings.push_back(std::move(reading));
    }
    for (int a = 0; a < 1 + pick(3); ++a) {
      const int m = pick(8);  // a handful of parts fail on each model
      Action action;
      action.id = id_of(6, j, a), action.mark = id_of(2, b, m), action.refdes = refdes_of(m), action.what = one_of(cures);
      action.words = one_of(note_words), action.at = job.opened_at;
      job.actions.push_back(std::move(action));
    }
    if (pick(10) < 8) {
      HandBack back;
      back.outcome = pick(5) == 0 ? "not-fixed" : "fixed", back.at = Timestamp{job.opened_at.ms + 86'400'000};
      job.hand_back = back;
    }
    const std::string year = to_rfc3339(job.opened_at).substr(0, 4);
    made.bytes += write(dir / "jobs" / year / ("job-" + std::to_string(j)) / "job.json", write_job(JobDocument{std::move(job), {}, {}, {}}));
    ++made.files;
  }
  return made;
}

}  // namespace boardlore
