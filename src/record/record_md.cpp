#include "record/record_md.h"

#include <span>

#include "overlay/xml_text.h"
#include "pictures/sha256.h"

namespace boardlore {
namespace {

// One line, nothing in it that Markdown or a viewer's HTML would take for more than text.
std::string inline_text(const std::string& text) {
  std::string out;
  for (const char c : clean_text(text)) switch (c) {
      case '\n':
      case '\t': out += ' '; break;
      case '<': out += "&lt;"; break;
      case '>': out += "&gt;"; break;
      case '&': out += "&amp;"; break;
      case '\\': case '`': case '*': case '_': case '[': case ']': case '|': case '#': case '~': case '!':
        out += '\\';
        out += c;
        break;
      default: out += c;
    }
  // Link detection makes addresses live without any markup.
  for (std::size_t at = 0; (at = out.find("://", at)) != std::string::npos; at += 4) out.replace(at, 3, ":\\//");
  return out;
}

class MarkdownWriter {
 public:
  std::string write(const Record& record) {
    out_ = "# " + inline_text(record.title) + "\n";
    for (const Section& section : record.sections) {
      out_ += "\n" + std::string(static_cast<std::size_t>(section.level) + 1, '#') + " " + inline_text(section.title) + "\n";
      for (const Block& block : section.blocks) std::visit(*this, block);
    }
    return std::move(out_);
  }

  void operator()(const FactList& list) {
    out_ += "\n";
    for (const Fact& fact : list.facts) out_ += "- " + inline_text(fact.name) + ": " + inline_text(fact.value) + "\n";
  }
  void operator()(const Paragraph& paragraph) {
    const char* lead = paragraph.kind == TextKind::caution ? "- Caution: " : paragraph.kind == TextKind::quote ? "> " : "";
    out_ += "\n" + std::string(lead) + inline_text(paragraph.text) + "\n";
  }
  void operator()(const Table& table) {
    out_ += "\n" + inline_text(table.caption) + "\n\n|";
    for (const std::string& header : table.headers) out_ += " " + inline_text(header) + " |";
    out_ += "\n|";
    for (std::size_t i = 0; i < table.headers.size(); ++i) out_ += " --- |";
    out_ += "\n";
    for (const TableRow& row : table.rows) {
      out_ += "|";
      for (const std::string& cell : row.cells) out_ += " " + inline_text(cell) + " |";
      out_ += "\n";
    }
  }
  void operator()(const PictureRow& row) {
    out_ += "\n";
    for (const Picture& picture : row.pictures) figure(picture);
  }
  void operator()(const BeforeAfter& pair) {
    out_ += "\n";
    figure(pair.before);
    figure(pair.after);
    out_ += "- Comparison: " + inline_text(pair.answer.empty() ? "not made" : pair.answer) + "\n";
  }

 private:
  void figure(const Picture& picture) {
    out_ += "- Figure " + std::to_string(picture.number) + ": " + inline_text(picture.caption) + "\n";
  }
  std::string out_;
};

}  // namespace

std::string record_text(const Record& record) { return MarkdownWriter().write(record); }

std::string record_digest(const Record& record) {
  const std::string text = record_text(record);
  return sha256_of(std::as_bytes(std::span(text)));
}

std::string record_md(const Record& record) {
  return record_text(record) + "\n## Digest\n\nSHA-256 of everything above this heading and the empty line before it:\n" +
         record_digest(record) + "\n";
}

}  // namespace boardlore
