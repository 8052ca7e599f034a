#include "bench/print_reader.h"

#include "pictures/photo_file.h"

namespace boardlore {

std::string PrintReader::read(const DeskView& desk, const Id& photo) {
  const DeskPhoto* entry = desk.find_photo(photo);
  if (!entry) return "There is no photo in view.";
  if (!entry->photo.registration) return "Register this photo first: names are placed on the board.";
  const Board& board = desk.snapshot.layer->board;
  if (!board.width_mm || !board.height_mm) return "The board's size in millimetres is not known yet.";
  forget();
  under_way_ = true;
  photo_ = photo, side_ = entry->photo.side;
  task_ = Task<Result<std::vector<ReadDesignator>>>::start(
      [path = entry->path, registration = *entry->photo.registration, board, side = side_](const TaskReins& reins) -> Result<std::vector<ReadDesignator>> {
        const Result<Raster> picture = decode_full(
            path, [&](double done) { *reins.progress = 0.05 * done; }, reins.stop);
        if (!picture) return picture.problem();
        return read_designators(*picture, registration, board, side, reins.stop, [&](double done) { *reins.progress = 0.05 + 0.95 * done; });
      });
  return {};
}

void PrintReader::forget() {
  task_ = {};
  under_way_ = false;
  proposals_.clear();
  current_ = 0;
}

std::optional<PrintReader::News> PrintReader::take(const DeskView& desk) {
  auto read = task_.take();
  if (!read) return std::nullopt;
  under_way_ = false;
  if (!*read) {
    if (read->problem().found == kStopped) return News{};
    return News{"Not read: " + to_text(read->problem()), true};
  }
  if (!desk.snapshot.layer) return News{};
  proposals_ = new_designators(**read, *desk.snapshot.layer);
  current_ = 0;
  if (proposals_.empty()) return News{"No designators were read that are not on the board already.", false};
  return News{std::to_string(proposals_.size()) + " designators read: take or reject each.", false};
}

ReadDesignator PrintReader::settle() {
  ReadDesignator one = proposals_[current_];
  proposals_.erase(proposals_.begin() + static_cast<std::ptrdiff_t>(current_));
  if (current_ >= proposals_.size()) current_ = 0;
  return one;
}

}  // namespace boardlore
