#include "papers/cairo_canvas.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <cairo.h>
#include <fmt/format.h>
#include <pango/pangocairo.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <regex>

#ifdef __SANITIZE_ADDRESS__
// The font libraries keep one cache of the system's fonts until the program ends, and the leak
// checker finds it there. It does not grow: sixty sheets take the memory of one.
extern "C" const char* __lsan_default_suppressions() { return "leak:libfontconfig\n"; }
#endif

namespace bight::papers {
namespace {

constexpr const char* kFamilies = "Noto Sans,DejaVu Sans,Sans";
constexpr double kPointsPerMm = 1.0 / kMmPerPoint;

template <typename T, void (*release)(T*)>
struct Releaser {
  void operator()(T* object) const { release(object); }
};
struct Unref {
  void operator()(gpointer object) const { g_object_unref(object); }
};
using Surface = std::unique_ptr<cairo_surface_t, Releaser<cairo_surface_t, cairo_surface_destroy>>;
using Context = std::unique_ptr<cairo_t, Releaser<cairo_t, cairo_destroy>>;
using Layout = std::unique_ptr<PangoLayout, Unref>;
using Font = std::unique_ptr<PangoFontDescription,
                             Releaser<PangoFontDescription, pango_font_description_free>>;

cairo_status_t append(void* bytes, const unsigned char* data, unsigned length) {
  static_cast<std::string*>(bytes)->append(data, data + length);
  return CAIRO_STATUS_SUCCESS;
}

base::Failure drawing_failure(cairo_status_t status) {
  return {"papers.drawing", "",
          fmt::format("the sheet could not be drawn: {}", cairo_status_to_string(status)),
          "a page size and numbers that are finite and positive"};
}

// Valid UTF-8 on one paragraph; anything else becomes the replacement mark.
std::string printable(std::string_view text) {
  gchar* valid = g_utf8_make_valid(text.data(), static_cast<gssize>(text.size()));
  std::string clean(valid);
  g_free(valid);
  for (char& c : clean) {
    if (static_cast<unsigned char>(c) < 0x20 && c != '\n') c = ' ';
  }
  return clean;
}

// The library counts its surfaces over the life of the program and writes the count into the SVG.
// Counted from 1 in each file, the same drawing gives the same bytes.
void number_afresh(std::string& svg) {
  static const std::regex kName("surface[0-9]+");
  std::map<std::string, std::string> fresh;
  std::string out;
  auto at = svg.cbegin();
  for (std::sregex_iterator it(svg.begin(), svg.end(), kName), end; it != end; ++it) {
    const std::string name = it->str();
    const auto place = fresh.emplace(name, "surface" + std::to_string(fresh.size() + 1)).first;
    out.append(at, svg.cbegin() + it->position());
    out += place->second;
    at = svg.cbegin() + it->position() + it->length();
  }
  out.append(at, svg.cend());
  svg = std::move(out);
}

class CairoCanvas final : public Canvas {
 public:
  explicit CairoCanvas(const CanvasOptions& options) : options_(options) { open_page(); }

  cairo_status_t status() const { return cairo_status(context_.get()); }

  double width_mm() const override { return options_.width_mm; }
  double height_mm() const override { return options_.height_mm; }

  void next_page() override {
    cairo_show_page(context_.get());
    if (options_.format != Format::kPdf) {
      close_file();
      open_page();
    }
  }

  void stroke(std::span<const Point> points, bool closed, const Pen& pen) override {
    if (points.size() < 2) return;
    trace(points, closed);
    ink(pen);
  }

  void fill(std::span<const Point> points, double shade_ratio) override {
    if (points.size() < 3) return;
    trace(points, true);
    shade(shade_ratio);
    cairo_fill(context_.get());
  }

  void fill_union(std::span<const std::vector<Point>> outlines, double shade_ratio) override {
    cairo_new_path(context_.get());
    for (const std::vector<Point>& outline : outlines) {
      if (outline.size() < 3) continue;
      cairo_new_sub_path(context_.get());
      add(outline, true);
    }
    shade(shade_ratio);
    cairo_fill(context_.get());
  }

  void circle(Point centre, double radius_mm, std::optional<Pen> pen,
              std::optional<double> fill_shade_ratio) override {
    cairo_new_path(context_.get());
    cairo_arc(context_.get(), centre.x_mm * kPointsPerMm, centre.y_mm * kPointsPerMm,
              radius_mm * kPointsPerMm, 0.0, 2.0 * std::numbers::pi);
    cairo_close_path(context_.get());
    if (fill_shade_ratio) {
      shade(*fill_shade_ratio);
      cairo_fill_preserve(context_.get());
    }
    if (pen) ink(*pen);
    cairo_new_path(context_.get());
  }

  void clip(const Box& box) override {
    cairo_save(context_.get());
    cairo_rectangle(context_.get(), box.x_mm * kPointsPerMm, box.y_mm * kPointsPerMm,
                    box.width_mm * kPointsPerMm, box.height_mm * kPointsPerMm);
    cairo_clip(context_.get());
  }

  void unclip() override { cairo_restore(context_.get()); }

  TextSize measure(std::string_view text, const TextStyle& style) const override {
    const Layout layout = set(text, style);
    const int num_lines = pango_layout_get_line_count(layout.get());
    double width_pt = 0.0;
    for (int i = 0; i < num_lines; ++i) width_pt = std::max(width_pt, line_width_pt(layout, i));
    return {width_pt * kMmPerPoint, num_lines * kLinePitch_ratio * style.size_pt * kMmPerPoint,
            num_lines};
  }

  void text(Point anchor, std::string_view text, const TextStyle& style) override {
    const Layout layout = set(text, style);
    cairo_t* cr = context_.get();
    cairo_save(cr);
    cairo_translate(cr, anchor.x_mm * kPointsPerMm, anchor.y_mm * kPointsPerMm);
    cairo_rotate(cr, -style.turn.rad());
    shade(style.shade_ratio);
    // Lines are set one by one: the pitch is ours, not that of whichever font answered.
    const int num_lines = pango_layout_get_line_count(layout.get());
    for (int i = 0; i < num_lines; ++i) {
      const double baseline_pt = style.size_pt * (kFirstBaseline_ratio + i * kLinePitch_ratio);
      const double width_pt = line_width_pt(layout, i);
      const double left_pt = style.align == Align::kLeft     ? 0.0
                             : style.align == Align::kCentre ? -width_pt / 2.0
                                                             : -width_pt;
      cairo_move_to(cr, left_pt, baseline_pt);
      pango_cairo_show_layout_line(cr, pango_layout_get_line_readonly(layout.get(), i));
    }
    cairo_restore(cr);
    cairo_new_path(cr);
  }

  base::Result<std::vector<std::string>> finish() override {
    cairo_show_page(context_.get());
    close_file();
    if (failed_ != CAIRO_STATUS_SUCCESS) return drawing_failure(failed_);
    return std::move(files_);
  }

 private:
  void open_page() {
    const double width_pt = options_.width_mm * kPointsPerMm;
    const double height_pt = options_.height_mm * kPointsPerMm;
    // The surface streams into this string until it is closed, so the string must not move.
    file_ = std::make_unique<std::string>();
    if (options_.format == Format::kPdf) {
      surface_.reset(cairo_pdf_surface_create_for_stream(append, file_.get(), width_pt, height_pt));
      if (cairo_surface_status(surface_.get()) == CAIRO_STATUS_SUCCESS) {
        cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_TITLE,
                                       printable(options_.title).c_str());
        // The library would put the time of day here, and no two prints would be the same.
        cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_CREATE_DATE, nullptr);
      }
    } else if (options_.format == Format::kSvg) {
      surface_.reset(cairo_svg_surface_create_for_stream(append, file_.get(), width_pt, height_pt));
    } else {
      const double px_per_pt = options_.png_px_per_mm * kMmPerPoint;
      surface_.reset(cairo_image_surface_create(
          CAIRO_FORMAT_RGB24, static_cast<int>(std::lround(width_pt * px_per_pt)),
          static_cast<int>(std::lround(height_pt * px_per_pt))));
      cairo_surface_set_device_scale(surface_.get(), px_per_pt, px_per_pt);
    }
    context_.reset(cairo_create(surface_.get()));
    cairo_set_line_join(context_.get(), CAIRO_LINE_JOIN_ROUND);
    if (options_.format != Format::kPdf) {
      shade(1.0);
      cairo_paint(context_.get());
    }
  }

  void close_file() {
    cairo_status_t status = cairo_status(context_.get());
    context_.reset();
    if (options_.format == Format::kPng && status == CAIRO_STATUS_SUCCESS) {
      status = cairo_surface_write_to_png_stream(surface_.get(), append, file_.get());
    }
    cairo_surface_finish(surface_.get());
    if (status == CAIRO_STATUS_SUCCESS) status = cairo_surface_status(surface_.get());
    surface_.reset();
    if (failed_ == CAIRO_STATUS_SUCCESS) failed_ = status;
    if (options_.format == Format::kSvg) number_afresh(*file_);
    files_.push_back(std::move(*file_));
  }

  void shade(double shade_ratio) {
    cairo_set_source_rgb(context_.get(), shade_ratio, shade_ratio, shade_ratio);
  }

  void trace(std::span<const Point> points, bool closed) {
    cairo_new_path(context_.get());
    add(points, closed);
  }

  void add(std::span<const Point> points, bool closed) {
    for (const Point& point : points) {
      cairo_line_to(context_.get(), point.x_mm * kPointsPerMm, point.y_mm * kPointsPerMm);
    }
    if (closed) cairo_close_path(context_.get());
  }

  void ink(const Pen& pen) {
    static constexpr double kShort_pt[] = {4.0, 2.5};
    static constexpr double kCentreline_pt[] = {9.0, 2.0, 2.0, 2.0};
    cairo_t* cr = context_.get();
    if (pen.dash == Dash::kShort) cairo_set_dash(cr, kShort_pt, 2, 0.0);
    if (pen.dash == Dash::kCentreline) cairo_set_dash(cr, kCentreline_pt, 4, 0.0);
    if (pen.dash == Dash::kNone) cairo_set_dash(cr, nullptr, 0, 0.0);
    cairo_set_line_width(cr, pen.width_mm * kPointsPerMm);
    shade(pen.shade_ratio);
    cairo_stroke(cr);
  }

  Layout set(std::string_view text, const TextStyle& style) const {
    Layout layout(pango_cairo_create_layout(context_.get()));
    PangoContext* pango = pango_layout_get_context(layout.get());
    // Widths must not depend on the resolution of the paper they end up on.
    pango_context_set_round_glyph_positions(pango, FALSE);
    cairo_font_options_t* options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    pango_cairo_context_set_font_options(pango, options);
    cairo_font_options_destroy(options);
    pango_layout_context_changed(layout.get());

    const Font font(pango_font_description_new());
    pango_font_description_set_family(font.get(), kFamilies);
    pango_font_description_set_weight(font.get(),
                                      style.bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_absolute_size(font.get(), style.size_pt * PANGO_SCALE);
    pango_layout_set_font_description(layout.get(), font.get());
    if (style.wrap_mm > 0.0) {
      pango_layout_set_width(layout.get(),
                             static_cast<int>(style.wrap_mm * kPointsPerMm * PANGO_SCALE));
      pango_layout_set_wrap(layout.get(), PANGO_WRAP_WORD_CHAR);
    }
    const std::string clean = printable(text);
    pango_layout_set_text(layout.get(), clean.data(), static_cast<int>(clean.size()));
    return layout;
  }

  static double line_width_pt(const Layout& layout, int index) {
    PangoRectangle logical;
    pango_layout_line_get_extents(pango_layout_get_line_readonly(layout.get(), index), nullptr,
                                  &logical);
    return static_cast<double>(logical.width) / PANGO_SCALE;
  }

  CanvasOptions options_;
  std::unique_ptr<std::string> file_;
  Surface surface_;
  Context context_;
  std::vector<std::string> files_;
  cairo_status_t failed_ = CAIRO_STATUS_SUCCESS;
};

}  // namespace

base::Result<std::unique_ptr<Canvas>> open_canvas(const CanvasOptions& options) {
  constexpr double kLargestPage_mm = 5000.0;  // PDF readers stop at 14400 pt, 5080 mm
  for (const double size_mm : {options.width_mm, options.height_mm}) {
    if (!(size_mm >= 1.0 && size_mm <= kLargestPage_mm)) {
      return drawing_failure(CAIRO_STATUS_INVALID_SIZE);
    }
  }
  auto canvas = std::make_unique<CairoCanvas>(options);
  if (canvas->status() != CAIRO_STATUS_SUCCESS) return drawing_failure(canvas->status());
  return std::unique_ptr<Canvas>(std::move(canvas));
}

}  // namespace bight::papers
