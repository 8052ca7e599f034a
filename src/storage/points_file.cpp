#include "storage/points_file.h"

#include "storage/read_members.h"
#include "storage/write_members.h"

namespace boardlore {

Result<std::vector<Fiducial>> read_points(std::string_view text, const std::string& file) {
  Result<storage::Json> json = storage::parse_json(text, file);
  if (!json) return json.problem();
  if (json->is_array() && json->size() > max_points)
    return Problem{file, "the top", "at most 10000 points", std::to_string(json->size())};
  storage::Reader reader(file);
  std::vector<Fiducial> points;
  reader.read(*json, points);
  if (!reader.faults().empty()) return reader.faults().front();
  return points;
}

std::string write_points(const std::vector<Fiducial>& points) {
  storage::Writer writer;
  writer.write(points);
  return writer.take() + "\n";
}

}  // namespace boardlore
