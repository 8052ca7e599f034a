#include "record/record_html.h"

#include <openssl/evp.h>

#include <algorithm>
#include <set>

#include "overlay/svg_canvas.h"
#include "overlay/xml_text.h"
#include "pictures/sha256.h"
#include "record/record_html_style.h"
#include "record/record_md.h"

namespace boardlore {
namespace {

std::string base64(std::string_view bytes) {
  std::string text(4 * ((bytes.size() + 2) / 3) + 1, '\0');
  const int length = EVP_EncodeBlock(reinterpret_cast<unsigned char*>(text.data()),
                                     reinterpret_cast<const unsigned char*>(bytes.data()), static_cast<int>(bytes.size()));
  text.resize(static_cast<std::size_t>(length));
  return text;
}

// "sha256-...": how a Content-Security-Policy names a style sheet (CSP level 2, section 4.2.5).
std::string csp_hash(const std::string& text) {
  const std::string hex = sha256_of(std::as_bytes(std::span(text)));
  std::string bytes;
  for (std::size_t i = 0; i + 1 < hex.size(); i += 2)
    bytes += static_cast<char>(std::stoi(hex.substr(i, 2), nullptr, 16));
  return "sha256-" + base64(bytes);
}

class HtmlWriter {
 public:
  HtmlWriter(const Record& record, const std::vector<PreparedPicture>& pictures) : record_(record), pictures_(pictures) {}

  std::string write() {
    const std::string style = record_html_style(record_.mentioned);
    out_ = "<!DOCTYPE html>\n<html lang=\"" + escape_xml(record_.language) + "\">\n<head>\n<meta charset=\"utf-8\">\n" +
           "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; style-src '" + csp_hash(style) +
           "'; base-uri 'none'; form-action 'none'\">\n" +
           "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<meta name=\"referrer\" content=\"no-referrer\">\n" +
           "<title>" + escape_xml(record_.title) + "</title>\n<style>" + style + "</style>\n</head>\n<body>\n<header>\n<h1>" +
           escape_xml(record_.title) + "</h1>\n</header>\n";
    contents();
    out_ += "<main>\n";
    for (std::size_t i = 0; i < record_.sections.size(); ++i) section(record_.sections[i], i);
    out_ += "</main>\n<footer>\n<h2>Digest</h2>\n<p>SHA-256 of this record's text; it is the same in every form of the record, and "
            "changes when a word of it does:</p>\n<p class=\"hash\">" +
            record_digest(record_) + "</p>\n</footer>\n</body>\n</html>\n";
    return std::move(out_);
  }

  void operator()(const FactList& list) {
    out_ += "<dl>\n";
    for (const Fact& fact : list.facts) out_ += "<dt>" + escape_xml(fact.name) + "</dt><dd>" + escape_xml(fact.value) + "</dd>\n";
    out_ += "</dl>\n";
  }

  void operator()(const Paragraph& paragraph) {
    switch (paragraph.kind) {
      case TextKind::plain: out_ += "<p>"; break;
      case TextKind::caution: out_ += "<p class=\"caution\"><b>Caution</b>"; break;
      case TextKind::small: out_ += "<p class=\"small\">"; break;
      case TextKind::quote: out_ += "<p class=\"quote\">"; break;
    }
    out_ += escape_xml(paragraph.text) + "</p>\n";
  }

  void operator()(const Table& table) {
    const bool wide = table.headers.size() > 3;
    out_ += "<div class=\"scroll\"><table" + std::string(wide ? " class=\"wide\"" : "") + "><caption>" + escape_xml(table.caption) +
            "</caption>\n<thead><tr>";
    for (const std::string& header : table.headers) out_ += "<th scope=\"col\">" + escape_xml(header) + "</th>";
    out_ += "</tr></thead>\n<tbody>\n";
    for (const TableRow& row : table.rows) table_row(table, row);
    out_ += "</tbody></table></div>\n";
  }

  void operator()(const PictureRow& row) {
    out_ += "<div class=\"row\">\n";
    for (const Picture& picture : row.pictures) figure(picture);
    out_ += "</div>\n";
  }

  void operator()(const BeforeAfter& pair) {
    const PreparedPicture* before = prepared(pair.before);
    const PreparedPicture* after = prepared(pair.after);
    const bool both = before && after && !before->jpeg.empty() && !after->jpeg.empty();
    if (both) wipe(pair);
    // Side by side where there is nothing to wipe, and on paper.
    out_ += "<div class=\"row" + std::string(both ? " plain-pair" : "") + "\">\n";
    figure(pair.before);
    figure(pair.after);
    out_ += "</div>\n<p>Comparison: " + escape_xml(pair.answer.empty() ? "not made." : pair.answer) + "</p>\n";
  }

 private:
  void contents() {
    out_ += "<nav aria-label=\"Contents\">\n<ol>\n";
    for (std::size_t i = 0; i < record_.sections.size(); ++i)
      out_ += "<li><a href=\"#s" + std::to_string(i) + "\">" + escape_xml(record_.sections[i].title) + "</a></li>\n";
    out_ += "</ol>\n</nav>\n";
  }

  void section(const Section& section, std::size_t index) {
    const std::string anchor = "s" + std::to_string(index), level = std::to_string(section.level + 1);
    out_ += "<section aria-labelledby=\"" + anchor + "\">\n<h" + level + " id=\"" + anchor + "\">" + escape_xml(section.title) + "</h" +
            level + ">\n";
    for (const Block& block : section.blocks) std::visit(*this, block);
    out_ += "</section>\n";
  }

  void table_row(const Table& table, const TableRow& row) {
    std::string classes = row.mark.empty() ? "" : mark_class(row.mark);
    if (row.fault) classes += classes.empty() ? "fault" : " fault";
    out_ += classes.empty() ? "<tr>" : "<tr class=\"" + classes + "\">";
    bool linked = false;
    for (std::size_t i = 0; i < row.cells.size(); ++i) {
      const bool hash = i < table.headers.size() && table.headers[i] == "SHA-256";
      const std::string name = i < table.headers.size() ? escape_xml(table.headers[i]) : "";
      std::string cell = escape_xml(row.cells[i]);
      // The first cell with text takes the focus and leads to the mark's picture, so that keys do what hovering does.
      const auto target = figure_of_.find(row.mark);
      if (!linked && !cell.empty() && target != figure_of_.end() && i < 2)
        cell = "<a href=\"#f" + std::to_string(target->second) + "\">" + cell + "</a>", linked = true;
      out_ += "<td" + std::string(hash ? " class=\"hash\"" : "") + " data-name=\"" + name + "\">" + cell + "</td>";
    }
    out_ += "</tr>\n";
  }

  const PreparedPicture* prepared(const Picture& picture) const {
    const auto index = static_cast<std::size_t>(picture.number - 1);
    return picture.number > 0 && index < pictures_.size() ? &pictures_[index] : nullptr;
  }

  void photo(const Picture& picture, const PreparedPicture& made) {
    out_ += "<span class=\"photo\"><img alt=\"" + escape_xml(picture.caption) + "\" width=\"" + std::to_string(made.width_px) +
            "\" height=\"" + std::to_string(made.height_px) + "\" src=\"data:image/jpeg;base64," + base64(made.jpeg) + "\">";
    SvgCanvas canvas;
    canvas.width_px = made.width_px;
    canvas.height_px = made.height_px;
    canvas.screen_from_photo = made.picture_from_scene;
    // In picture pixels: a close-up of few of them is shown as large as one of many.
    canvas.line_scale = std::max(0.3, made.width_px / 700.0);
    canvas.font_px = made.width_px / 42.0;
    std::string svg = svg_of(made.scene, canvas);
    if (made.ring) {
      const std::string circle = "cx=\"" + std::to_string(std::lround(made.ring->x)) + "\" cy=\"" +
                                 std::to_string(std::lround(made.ring->y)) + "\" r=\"" +
                                 std::to_string(std::lround(made.ring_radius_px)) + "\"/>";
      svg.insert(svg.rfind("</svg>"), "<circle class=\"ring halo\" " + circle + "<circle class=\"ring\" " + circle);
    }
    out_ += svg + "</span>";
  }

  void figure(const Picture& picture) {
    const PreparedPicture* made = prepared(picture);
    out_ += "<figure id=\"f" + std::to_string(picture.number) + "\">";
    if (made && !made->jpeg.empty())
      photo(picture, *made);
    else
      out_ += "<p class=\"lost\">No picture: " + escape_xml(made ? made->missing : "not prepared") + "</p>";
    out_ += "<figcaption>" + std::to_string(picture.number) + ". " + escape_xml(picture.caption) + "</figcaption></figure>\n";
  }

  void wipe(const BeforeAfter& pair) {
    const std::string name = "w" + std::to_string(pair.before.number);
    out_ += "<fieldset class=\"wipe\"><legend>Wipe from before to after (arrow keys or tap)</legend><div class=\"stage\">";
    photo(pair.before, *prepared(pair.before));
    photo(pair.after, *prepared(pair.after));
    out_ += "</div><div class=\"stops\">";
    for (int stop = 0; stop < wipe_stops; ++stop) {
      const std::string percent = std::to_string(stop * 100 / (wipe_stops - 1));
      out_ += "<label><input type=\"radio\" name=\"" + name + "\" class=\"s" + std::to_string(stop) + "\"" +
              (stop == wipe_stops / 2 ? " checked" : "") + "><span class=\"hidden\">" + percent + " % after</span></label>";
    }
    out_ += "</div><div class=\"ends\" aria-hidden=\"true\"><span>before</span><span>after</span></div></fieldset>\n";
  }

  const Record& record_;
  const std::vector<PreparedPicture>& pictures_;
  std::map<Id, int> figure_of_ = first_figures();
  std::string out_;

  // Where a mark is best seen: its own close-up, else the first photo that has it in its overlay.
  std::map<Id, int> first_figures() const {
    std::map<Id, int> figures;
    const std::vector<const Picture*> all = pictures_of(record_);
    for (const Picture* picture : all)
      if (picture->close_up_at && !picture->on_board_frame)
        for (const Id& mark : picture->marks) figures.try_emplace(mark, picture->number);
    for (const Picture* picture : all)
      if (const PreparedPicture* made = prepared(*picture); made && !made->jpeg.empty())
        for (const Stroke& stroke : made->scene.strokes)
          if (stroke.mark) figures.try_emplace(stroke.mark->id, picture->number);
    return figures;
  }
};

}  // namespace

std::string record_html(const Record& record, const std::vector<PreparedPicture>& pictures) {
  return HtmlWriter(record, pictures).write();
}

}  // namespace boardlore
