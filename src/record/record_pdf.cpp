#include "record/record_pdf.h"

#include <algorithm>
#include <span>

#include "overlay/canvas_cairo.h"
#include "pictures/sha256.h"
#include "record/pdf_page.h"
#include "record/record_md.h"

namespace boardlore {
namespace {

constexpr Colour ink{0x17, 0x19, 0x1C}, quiet{0x56, 0x5B, 0x62}, line{0xC9, 0xCD, 0xD2}, fault{0x9C, 0x3D, 0x00};
constexpr TextStyle body{9.5, false, false, ink}, small{8.5, false, false, quiet}, cell_style{8.5, false, false, ink},
    head_style{8, true, false, quiet}, hash_style{6.5, false, true, ink};
constexpr double gap_pt = 10;  // between columns and pictures
constexpr double tallest_pt = 270;

class PdfWriter {
 public:
  PdfWriter(const Record& record, const std::vector<PreparedPicture>& pictures, PdfPages& pages)
      : record_(record), pictures_(pictures), pages_(pages) {}

  void write() {
    pages_.begin("Document");
    heading(record_.title, "H1", 17);
    for (const Section& section : record_.sections) {
      pages_.begin("Sect");
      pages_.move_down(12);
      pages_.need(70 + first_pictures_height(section));
      pages_.bookmark(section.title);
      heading(section.title, "H2", 12.5);
      for (const Block& block : section.blocks) {
        std::visit(*this, block);
        pages_.move_down(6);
      }
      pages_.end("Sect");
    }
    digest();
    pages_.end("Document");
  }

  void operator()(const FactList& list) {
    const double name_width = 110;
    for (const Fact& fact : list.facts) {
      const LayoutPtr name = pages_.layout(fact.name, {9.5, false, false, quiet}, name_width - gap_pt);
      const LayoutPtr value = pages_.layout(fact.value, body, pages_.content_width() - name_width);
      const double height = std::max(PdfPages::height_of(name.get()), PdfPages::height_of(value.get()));
      if (height > pages_.page_room() / 2) {  // a novel in one field still gets its pages
        pages_.flow(fact.name + ": " + fact.value, body);
        continue;
      }
      pages_.need(height);
      pages_.begin("P");
      pages_.show(name.get(), pages_.left(), pages_.y(), quiet);
      pages_.show(value.get(), pages_.left() + name_width, pages_.y(), ink);
      pages_.end("P");
      pages_.move_down(height + 3);
    }
  }

  void operator()(const Paragraph& paragraph) {
    switch (paragraph.kind) {
      case TextKind::plain: pages_.flow(paragraph.text, body); break;
      case TextKind::small: pages_.flow(paragraph.text, small); break;
      case TextKind::quote: pages_.flow(paragraph.text, body, 12); break;
      case TextKind::caution: {
        pages_.need(26);
        const double y = pages_.y();
        const int page = pages_.page();
        pages_.flow("Caution: " + paragraph.text, body, 10);
        if (pages_.page() == page) bar(y, pages_.y());
        break;
      }
    }
  }

  void operator()(const Table& table) {
    const std::vector<double> widths = column_widths(table);
    const LayoutPtr caption = pages_.layout(table.caption, small, pages_.content_width());
    pages_.need(PdfPages::height_of(caption.get()) + 40);
    pages_.begin("P");
    pages_.show(caption.get(), pages_.left(), pages_.y(), quiet);
    pages_.end("P");
    pages_.move_down(PdfPages::height_of(caption.get()) + 4);
    pages_.begin("Table");
    header_row(table, widths);
    for (const TableRow& row : table.rows) table_row(table, row, widths);
    pages_.end("Table");
  }

  void operator()(const PictureRow& row) {
    const std::size_t across = pictures_across(row);
    for (std::size_t i = 0; i < row.pictures.size(); i += across) {
      std::vector<const Picture*> pictures;
      for (std::size_t j = i; j < std::min(i + across, row.pictures.size()); ++j) pictures.push_back(&row.pictures[j]);
      picture_line(pictures, across);
    }
  }

  void operator()(const BeforeAfter& pair) {
    picture_line({&pair.before, &pair.after}, 2);
    pages_.flow("Comparison: " + (pair.answer.empty() ? "not made." : pair.answer), body);
  }

 private:
  void heading(const std::string& text, const char* tag, double size_pt) {
    const LayoutPtr made = pages_.layout(text, {size_pt, true, false, ink}, pages_.content_width());
    const double height = PdfPages::height_of(made.get());
    if (height > pages_.page_room() / 2) return pages_.flow(text, {size_pt, true, false, ink});
    pages_.need(height + 40);
    pages_.begin(tag);
    pages_.show(made.get(), pages_.left(), pages_.y(), ink);
    pages_.end(tag);
    pages_.move_down(height + 5);
  }

  void bar(double from, double to) {
    cairo_t* cairo = pages_.cairo();
    cairo_set_source_rgb(cairo, okabe_ito::orange.r / 255.0, okabe_ito::orange.g / 255.0, okabe_ito::orange.b / 255.0);
    cairo_rectangle(cairo, pages_.left(), from, 3, to - from);
    cairo_fill(cairo);
  }

  static TextStyle style_of_cell(const Table& table, std::size_t column, bool fault) {
    TextStyle style = column < table.headers.size() && table.headers[column] == "SHA-256" ? hash_style : cell_style;
    style.bold = fault && !style.mono;
    return style;
  }
  // A fault is told by a sign as well as by colour.
  static std::string cell_text(const TableRow& row, std::size_t column) {
    return (column == 0 && row.fault ? "▲ " : "") + (column < row.cells.size() ? row.cells[column] : std::string{});
  }

  // Each column as wide as it would like to be, all shrunk alike where that is too much, none below a word.
  std::vector<double> column_widths(const Table& table) const {
    std::vector<double> wanted;
    for (std::size_t i = 0; i < table.headers.size(); ++i) {
      double widest = width_of(table.headers[i], head_style);
      for (const TableRow& row : table.rows)
        if (i < row.cells.size()) widest = std::max(widest, width_of(cell_text(row, i), style_of_cell(table, i, row.fault)));
      wanted.push_back(std::max(widest, 24.0));
    }
    const double room = pages_.content_width() - gap_pt * static_cast<double>(wanted.size() - 1);
    double sum = 0;
    for (const double width : wanted) sum += width;
    if (sum <= room) return wanted;
    // The narrow ones keep what they need; the wide ones share the rest.
    std::vector<double> widths = wanted;
    std::vector<std::size_t> order(widths.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return wanted[a] < wanted[b]; });
    double left = room;
    std::size_t columns = order.size();
    for (const std::size_t i : order) {
      widths[i] = std::min(wanted[i], left / static_cast<double>(columns));
      left -= widths[i];
      --columns;
    }
    return widths;
  }

  double width_of(const std::string& text, const TextStyle& style) const {
    const LayoutPtr made = pages_.layout(text.size() > 200 ? std::string_view(text).substr(0, 200) : std::string_view(text), style, 1000);
    PangoRectangle logical;
    pango_layout_get_extents(made.get(), nullptr, &logical);
    return static_cast<double>(logical.width) / PANGO_SCALE + 0.5;
  }

  void header_row(const Table& table, const std::vector<double>& widths) {
    double x = pages_.left(), height = 0;
    pages_.begin("TR");
    for (std::size_t i = 0; i < widths.size(); ++i) {
      const LayoutPtr made = pages_.layout(table.headers[i], head_style, widths[i]);
      pages_.begin("TH");
      pages_.show(made.get(), x, pages_.y(), quiet);
      pages_.end("TH");
      height = std::max(height, PdfPages::height_of(made.get()));
      x += widths[i] + gap_pt;
    }
    pages_.end("TR");
    pages_.move_down(height + 2);
    pages_.rule(pages_.y(), line);
    pages_.move_down(2);
  }

  void table_row(const Table& table, const TableRow& row, const std::vector<double>& widths) {
    std::vector<LayoutPtr> cells;
    double height = 0;
    for (std::size_t i = 0; i < widths.size(); ++i) {
      cells.push_back(pages_.layout(cell_text(row, i), style_of_cell(table, i, row.fault), widths[i]));
      height = std::max(height, PdfPages::height_of(cells.back().get()));
    }
    if (height > pages_.page_room() - 60) return long_row(table, row);
    if (pages_.need(height + 4)) header_row(table, widths);
    double x = pages_.left();
    pages_.begin("TR");
    for (std::size_t i = 0; i < cells.size(); ++i) {
      pages_.begin("TD");
      pages_.show(cells[i].get(), x, pages_.y(), row.fault ? fault : ink);
      pages_.end("TD");
      x += widths[i] + gap_pt;
    }
    pages_.end("TR");
    pages_.move_down(height + 2);
    pages_.rule(pages_.y(), line);
    pages_.move_down(2);
  }

  // A row that no page holds: its cells one below the other.
  void long_row(const Table& table, const TableRow& row) {
    for (std::size_t i = 0; i < row.cells.size() && i < table.headers.size(); ++i)
      if (!row.cells[i].empty()) pages_.flow(table.headers[i] + ": " + row.cells[i], cell_style);
  }

  const PreparedPicture* prepared(const Picture& picture) const {
    const auto index = static_cast<std::size_t>(picture.number - 1);
    return picture.number > 0 && index < pictures_.size() ? &pictures_[index] : nullptr;
  }

  static std::size_t pictures_across(const PictureRow& row) { return row.pictures.size() == 1 ? 1 : row.pictures.size() >= 7 ? 3 : 2; }

  double picture_width(std::size_t across) const {
    const auto n = static_cast<double>(across);
    return across == 1 ? std::min(340.0, pages_.content_width()) : (pages_.content_width() - gap_pt * (n - 1)) / n;
  }

  double shown_height(const Picture& picture, double width) const {
    const PreparedPicture* made = prepared(picture);
    return made && made->width_px > 0 ? std::min(tallest_pt, width * made->height_px / made->width_px) : 0;
  }

  // A heading stays with the pictures it begins with.
  double first_pictures_height(const Section& section) const {
    if (section.blocks.empty()) return 0;
    const auto* row = std::get_if<PictureRow>(&section.blocks.front());
    double height = 0;
    if (row)
      for (std::size_t i = 0; i < std::min(pictures_across(*row), row->pictures.size()); ++i)
        height = std::max(height, shown_height(row->pictures[i], picture_width(pictures_across(*row))));
    return height;
  }

  void picture_line(const std::vector<const Picture*>& pictures, std::size_t across) {
    const double width = picture_width(across);
    double photo_height = 0, caption_height = 0;
    std::vector<LayoutPtr> captions;
    for (const Picture* picture : pictures) {
      const PreparedPicture* made = prepared(*picture);
      photo_height = std::max(photo_height, shown_height(*picture, width));
      std::string text = std::to_string(picture->number) + ". " + picture->caption;
      if (!made || made->jpeg.empty()) text += "\nNo picture: " + (made ? made->missing : "not prepared");
      if (text.size() > 900) text = text.substr(0, 900) + "…";
      captions.push_back(pages_.layout(text, {8, false, false, quiet}, width));
      caption_height = std::max(caption_height, PdfPages::height_of(captions.back().get()));
    }
    pages_.need(photo_height + caption_height + 10);
    double x = pages_.left();
    for (std::size_t i = 0; i < pictures.size(); ++i) {
      pages_.begin("Figure");
      if (const PreparedPicture* made = prepared(*pictures[i]); made && !made->jpeg.empty()) {
        const double shown = std::min(width, tallest_pt * made->width_px / made->height_px);
        photo(*made, x, pages_.y(), shown);
      }
      pages_.end("Figure");
      pages_.begin("P");
      pages_.show(captions[i].get(), x, pages_.y() + photo_height + 3, quiet);
      pages_.end("P");
      x += width + gap_pt;
    }
    pages_.move_down(photo_height + caption_height + 10);
  }

  void photo(const PreparedPicture& made, double x, double y, double width_pt) {
    if (pages_.dry()) return;
    const double scale = width_pt / made.width_px;
    pages_.jpeg(made.jpeg, made.width_px, made.height_px, x, y, width_pt, sha256_of(std::as_bytes(std::span(made.jpeg))));
    cairo_t* cairo = pages_.cairo();
    cairo_save(cairo);
    cairo_rectangle(cairo, x, y, width_pt, made.height_px * scale);
    cairo_clip(cairo);
    cairo_translate(cairo, x, y);
    CairoCanvas canvas;
    canvas.cairo = cairo;
    const ScreenFromPhoto& from = made.picture_from_scene;
    canvas.screen_from_photo = {from.xx * scale, from.xy * scale, from.yx * scale, from.yy * scale, from.x0 * scale, from.y0 * scale};
    canvas.line_scale = 0.45;
    canvas.font_px = 6.5;
    draw_scene(made.scene, canvas);
    if (made.ring) {
      const double line_widths[] = {2.6, 1.3};
      const Colour colours[] = {okabe_ito::black, white};
      for (int pass = 0; pass < 2; ++pass) {
        cairo_set_source_rgb(cairo, colours[pass].r / 255.0, colours[pass].g / 255.0, colours[pass].b / 255.0);
        cairo_set_line_width(cairo, line_widths[pass]);
        cairo_arc(cairo, made.ring->x * scale, made.ring->y * scale, made.ring_radius_px * scale, 0, 6.283185307179586);
        cairo_stroke(cairo);
      }
    }
    cairo_restore(cairo);
  }

  void digest() {
    pages_.move_down(12);
    pages_.need(60);
    pages_.bookmark("Digest");
    heading("Digest", "H2", 12.5);
    pages_.flow("SHA-256 of this record's text; it is the same in every form of the record, and changes when a word of it does:", small);
    pages_.move_down(3);
    pages_.flow(record_digest(record_), {8, false, true, ink});
  }

  const Record& record_;
  const std::vector<PreparedPicture>& pictures_;
  PdfPages& pages_;
};

}  // namespace

Result<std::string> record_pdf(const Record& record, const std::vector<PreparedPicture>& pictures, const PdfOptions& options) {
  const double width_pt = options.paper == Paper::a4 ? 595.276 : 612, height_pt = options.paper == Paper::a4 ? 841.890 : 792;
  int page_count = 0;
  {
    PdfPages dry(width_pt, height_pt, record.title, 0);
    PdfWriter(record, pictures, dry).write();
    page_count = dry.page();
  }
  PdfPages pages(width_pt, height_pt, record.title, page_count);
  const std::string made_at = to_rfc3339(Timestamp{options.made_at.ms / 1000 * 1000});
  pages.information({{CAIRO_PDF_METADATA_TITLE, record.title},
                     {CAIRO_PDF_METADATA_AUTHOR, record.author},
                     {CAIRO_PDF_METADATA_SUBJECT, record.subject},
                     {CAIRO_PDF_METADATA_CREATOR, "Boardlore"},
                     {CAIRO_PDF_METADATA_CREATE_DATE, made_at},
                     {CAIRO_PDF_METADATA_MOD_DATE, made_at}});
  PdfWriter(record, pictures, pages).write();
  return pages.finish();
}

}  // namespace boardlore
