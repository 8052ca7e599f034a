#include "record/pdf_page.h"

#include <algorithm>

#include "overlay/xml_text.h"

namespace boardlore {
namespace {

constexpr const char* font_names = "Open Sans, DejaVu Sans";
constexpr const char* mono_names = "Noto Sans Mono, DejaVu Sans Mono";
constexpr Colour quiet{0x56, 0x5B, 0x62};

cairo_status_t append(void* closure, const unsigned char* data, unsigned int length) {
  static_cast<std::string*>(closure)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

void set_colour(cairo_t* cairo, Colour c) { cairo_set_source_rgb(cairo, c.r / 255.0, c.g / 255.0, c.b / 255.0); }

}  // namespace

PdfPages::PdfPages(double width_pt, double height_pt, std::string footer, int page_count)
    : width_pt_(width_pt), height_pt_(height_pt), footer_(std::move(footer)), page_count_(page_count) {
  surface_.reset(page_count == 0 ? cairo_pdf_surface_create(nullptr, width_pt, height_pt)
                                 : cairo_pdf_surface_create_for_stream(append, &bytes_, width_pt, height_pt));
  cairo_.reset(cairo_create(surface_.get()));
}

bool PdfPages::need(double pt) {
  if (pt <= room() || y_pt_ <= margin_pt) return false;
  new_page();
  return true;
}

void PdfPages::new_page() {
  footer();
  cairo_show_page(cairo_.get());
  ++page_;
  y_pt_ = margin_pt;
}

LayoutPtr PdfPages::layout(std::string_view text, const TextStyle& style, double width_pt) const {
  LayoutPtr made(pango_cairo_create_layout(cairo_.get()));
  // Layouts are measured as they are printed: no rounding of glyphs to a screen's pixels.
  const std::unique_ptr<cairo_font_options_t, decltype(&cairo_font_options_destroy)> options(cairo_font_options_create(),
                                                                                          &cairo_font_options_destroy);
  cairo_font_options_set_hint_metrics(options.get(), CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_hint_style(options.get(), CAIRO_HINT_STYLE_NONE);
  pango_cairo_context_set_font_options(pango_layout_get_context(made.get()), options.get());
  const std::unique_ptr<PangoFontDescription, CairoFree> font(pango_font_description_from_string(style.mono ? mono_names : font_names));
  pango_font_description_set_absolute_size(font.get(), style.size_pt * PANGO_SCALE);
  if (style.bold) pango_font_description_set_weight(font.get(), PANGO_WEIGHT_SEMIBOLD);
  pango_layout_set_font_description(made.get(), font.get());
  pango_layout_set_width(made.get(), static_cast<int>(std::max(1.0, width_pt) * PANGO_SCALE));
  pango_layout_set_wrap(made.get(), PANGO_WRAP_WORD_CHAR);
  const std::string clean = clean_text(text);
  pango_layout_set_text(made.get(), clean.data(), static_cast<int>(clean.size()));
  return made;
}

double PdfPages::height_of(PangoLayout* layout) {
  PangoRectangle logical;
  pango_layout_get_extents(layout, nullptr, &logical);
  return static_cast<double>(logical.height) / PANGO_SCALE;
}

void PdfPages::show(PangoLayout* layout, double x, double y, Colour colour) {
  set_colour(cairo_.get(), colour);
  cairo_move_to(cairo_.get(), x, y);
  pango_cairo_show_layout(cairo_.get(), layout);
}

void PdfPages::flow(std::string_view text, const TextStyle& style, double indent_pt) {
  const LayoutPtr made = layout(text, style, content_width() - indent_pt);
  begin("P");
  const int lines = pango_layout_get_line_count(made.get());
  for (int i = 0; i < lines; ++i) {
    PangoLayoutLine* line = pango_layout_get_line_readonly(made.get(), i);
    PangoRectangle logical;
    pango_layout_line_get_extents(line, nullptr, &logical);
    const double height = static_cast<double>(logical.height) / PANGO_SCALE;
    if (height > room() && y_pt_ > margin_pt) {  // marked content must not reach over a page's end
      end("P");
      new_page();
      begin("P");
    }
    set_colour(cairo_.get(), style.colour);
    cairo_move_to(cairo_.get(), left() + indent_pt, y_pt_ - static_cast<double>(logical.y) / PANGO_SCALE);
    pango_cairo_show_layout_line(cairo_.get(), line);
    y_pt_ += height;
  }
  end("P");
}

void PdfPages::begin(const char* tag) { cairo_tag_begin(cairo_.get(), tag, nullptr); }
void PdfPages::end(const char* tag) { cairo_tag_end(cairo_.get(), tag); }

void PdfPages::rule(double y, Colour colour) {
  set_colour(cairo_.get(), colour);
  cairo_set_line_width(cairo_.get(), 0.5);
  cairo_move_to(cairo_.get(), left(), y);
  cairo_line_to(cairo_.get(), left() + content_width(), y);
  cairo_stroke(cairo_.get());
}

void PdfPages::bookmark(const std::string& title) {
  const std::string place = "page=" + std::to_string(page_) + " pos=[" + std::to_string(static_cast<int>(margin_pt)) + " " +
                            std::to_string(static_cast<int>(y_pt_)) + "]";
  cairo_pdf_surface_add_outline(surface_.get(), CAIRO_PDF_OUTLINE_ROOT, clean_text(title).c_str(), place.c_str(),
                                static_cast<cairo_pdf_outline_flags_t>(0));
}

void PdfPages::jpeg(const std::string& bytes, int width_px, int height_px, double x, double y, double width_pt, const std::string& id) {
  if (dry()) return;
  // The surface's own pixels are never touched or read: only its size and the bytes attached to it count.
  const std::unique_ptr<cairo_surface_t, CairoFree> image(cairo_image_surface_create(CAIRO_FORMAT_RGB24, width_px, height_px));
  auto* owned = new std::string(bytes);
  const auto release = [](void* closure) { delete static_cast<std::string*>(closure); };
  if (cairo_surface_set_mime_data(image.get(), CAIRO_MIME_TYPE_JPEG, reinterpret_cast<const unsigned char*>(owned->data()), owned->size(),
                                  release, owned) != CAIRO_STATUS_SUCCESS) {
    delete owned;
    return;
  }
  auto* name = new std::string(id);
  if (cairo_surface_set_mime_data(image.get(), CAIRO_MIME_TYPE_UNIQUE_ID, reinterpret_cast<const unsigned char*>(name->data()), name->size(),
                                  release, name) != CAIRO_STATUS_SUCCESS)
    delete name;
  cairo_save(cairo_.get());
  cairo_translate(cairo_.get(), x, y);
  cairo_scale(cairo_.get(), width_pt / width_px, width_pt / width_px);
  cairo_set_source_surface(cairo_.get(), image.get(), 0, 0);
  // Filled, not painted: where an opaque picture is the first thing painted on a page, Cairo 1.16 takes it for
  // a new ground and drops what it recorded of the page so far, the tags opened there too; the structure tree
  // then no longer nests and no page after it can be written.
  cairo_rectangle(cairo_.get(), 0, 0, width_px, height_px);
  cairo_fill(cairo_.get());
  cairo_restore(cairo_.get());
}

void PdfPages::information(const std::map<cairo_pdf_metadata_t, std::string>& information) {
  for (const auto& [what, text] : information) cairo_pdf_surface_set_metadata(surface_.get(), what, clean_text(text).c_str());
}

void PdfPages::footer() {
  const double y = height_pt_ - margin_pt + 6;
  const TextStyle style{7.5, false, false, quiet};
  std::string number = "Page " + std::to_string(page_);
  if (page_count_ > 0) number += " of " + std::to_string(page_count_);
  const LayoutPtr right = layout(number, style, content_width());
  pango_layout_set_alignment(right.get(), PANGO_ALIGN_RIGHT);
  show(right.get(), left(), y, quiet);
  const LayoutPtr title = layout(footer_, style, content_width() - 70);
  pango_layout_set_height(title.get(), -1);
  pango_layout_set_ellipsize(title.get(), PANGO_ELLIPSIZE_END);
  show(title.get(), left(), y, quiet);
}

Result<std::string> PdfPages::finish() {
  footer();
  cairo_show_page(cairo_.get());
  cairo_status_t status = cairo_status(cairo_.get());
  cairo_surface_finish(surface_.get());
  if (status == CAIRO_STATUS_SUCCESS) status = cairo_surface_status(surface_.get());
  if (status != CAIRO_STATUS_SUCCESS)
    return Problem{"", "PDF page " + std::to_string(page_), "pages to be written", cairo_status_to_string(status), Outcome::system_failed};
  return std::move(bytes_);
}

}  // namespace boardlore
