// A PDF being written: pages, a place that moves down, tagged text and pictures. Knows nothing of records.
#pragma once

#include <cairo-pdf.h>
#include <pango/pangocairo.h>

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "domain/problem.h"
#include "overlay/colours.h"

namespace boardlore {

struct CairoFree {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  void operator()(cairo_t* cairo) const { cairo_destroy(cairo); }
  void operator()(PangoLayout* layout) const { g_object_unref(layout); }
  void operator()(PangoFontDescription* font) const { pango_font_description_free(font); }
};
using LayoutPtr = std::unique_ptr<PangoLayout, CairoFree>;

struct TextStyle {
  double size_pt = 9.5;
  bool bold = false;
  bool mono = false;
  Colour colour{0x17, 0x19, 0x1C};
};

// Everything in points; x right, y down.
class PdfPages {
 public:
  // page_count 0: a dry run, nothing is kept.
  PdfPages(double width_pt, double height_pt, std::string footer, int page_count);

  static constexpr double margin_pt = 48;
  double content_width() const { return width_pt_ - 2 * margin_pt; }
  double left() const { return margin_pt; }
  double y() const { return y_pt_; }
  double room() const { return height_pt_ - margin_pt - 18 - y_pt_; }  // 18: the footer
  double page_room() const { return height_pt_ - 2 * margin_pt - 18; }
  bool dry() const { return page_count_ == 0; }
  int page() const { return page_; }
  cairo_t* cairo() const { return cairo_.get(); }

  void move_down(double pt) { y_pt_ += pt; }
  // Breaks the page where less than this is left, unless the page is still empty. True: broke.
  bool need(double pt);
  void new_page();

  // Ready to measure and show; text is cleaned, and never read as markup.
  LayoutPtr layout(std::string_view text, const TextStyle& style, double width_pt) const;
  static double height_of(PangoLayout* layout);
  void show(PangoLayout* layout, double x, double y, Colour colour);
  // Whole paragraph from y() on, over as many pages as it takes; moves down.
  void flow(std::string_view text, const TextStyle& style, double indent_pt = 0);
  void begin(const char* tag);
  void end(const char* tag);
  void rule(double y, Colour colour);
  void bookmark(const std::string& title);
  // The JPEG's bytes, as they are; `id` the same for the same bytes.
  void jpeg(const std::string& bytes, int width_px, int height_px, double x, double y, double width_pt, const std::string& id);

  // `information`: CAIRO_PDF_METADATA_... -> value.
  void information(const std::map<cairo_pdf_metadata_t, std::string>& information);
  Result<std::string> finish();

 private:
  void footer();

  double width_pt_, height_pt_, y_pt_ = margin_pt;
  std::string footer_, bytes_;
  int page_count_, page_ = 1;
  std::unique_ptr<cairo_surface_t, CairoFree> surface_;
  std::unique_ptr<cairo_t, CairoFree> cairo_;
};

}  // namespace boardlore
