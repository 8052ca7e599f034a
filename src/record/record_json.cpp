#include "record/record_json.h"

#include "record/record_md.h"
#include "storage/json_out.h"

namespace boardlore {
namespace {

JsonOut figure(const Picture& picture) {
  return {{"figure", picture.number}, {"photo", picture.photo.text}, {"caption", picture.caption}};
}

struct ToJson {
  JsonOut operator()(const FactList& list) const {
    JsonOut facts = JsonOut::array();
    for (const Fact& fact : list.facts) facts.push_back({{"name", fact.name}, {"value", fact.value}});
    return {{"kind", "facts"}, {"facts", facts}};
  }
  JsonOut operator()(const Paragraph& paragraph) const {
    const char* kinds[] = {"text", "caution", "small", "note"};
    return {{"kind", kinds[static_cast<std::size_t>(paragraph.kind)]}, {"text", paragraph.text}};
  }
  JsonOut operator()(const Table& table) const {
    JsonOut rows = JsonOut::array();
    for (const TableRow& row : table.rows) {
      JsonOut out{{"cells", row.cells}};
      if (!row.mark.empty()) out["mark"] = row.mark.text;
      if (row.fault) out["fault"] = true;
      rows.push_back(std::move(out));
    }
    return {{"kind", "table"}, {"caption", table.caption}, {"headers", table.headers}, {"rows", rows}};
  }
  JsonOut operator()(const PictureRow& row) const {
    JsonOut figures = JsonOut::array();
    for (const Picture& picture : row.pictures) figures.push_back(figure(picture));
    return {{"kind", "pictures"}, {"figures", figures}};
  }
  JsonOut operator()(const BeforeAfter& pair) const {
    return {{"kind", "before-after"}, {"before", figure(pair.before)}, {"after", figure(pair.after)}, {"comparison", pair.answer}};
  }
};

}  // namespace

std::string record_json(const Record& record, Audience audience) {
  JsonOut sections = JsonOut::array();
  for (const Section& section : record.sections) {
    JsonOut blocks = JsonOut::array();
    for (const Block& block : section.blocks) blocks.push_back(std::visit(ToJson{}, block));
    JsonOut out{{"title", section.title}};
    if (!section.mark.empty()) out["mark"] = section.mark.text;
    out["blocks"] = std::move(blocks);
    sections.push_back(std::move(out));
  }
  return json_text({{"format", "boardlore-record"},
                    {"version", "1.0"},
                    {"for", audience == Audience::shop ? "shop" : "owner"},
                    {"title", record.title},
                    {"dated", to_rfc3339(record.dated)},
                    {"sections", sections},
                    {"text_sha256", record_digest(record)}});
}

}  // namespace boardlore
