// SPDX-License-Identifier: Apache-2.0
#include "daemon/certificate/sheet.h"

#include <pango/pangocairo.h>

#include <array>
#include <memory>
#include <utility>

namespace leadwright {
namespace {

struct LayoutDeleter {
  void operator()(PangoLayout* layout) const { g_object_unref(layout); }
};
using Layout = std::unique_ptr<PangoLayout, LayoutDeleter>;

struct Shade {
  double red;
  double green;
  double blue;
};

Shade shade_of(Ink ink) {
  switch (ink) {
    case Ink::dark:
      return {0.07, 0.17, 0.29};
    case Ink::quiet:
      return {0.29, 0.37, 0.47};
    case Ink::line:
      return {0.68, 0.73, 0.79};
    case Ink::field:
      return {0.93, 0.945, 0.965};
    case Ink::paper:
      return {1.0, 1.0, 1.0};
  }
  return {0.0, 0.0, 0.0};
}

/// The texts of the bench are plain ASCII where a page has room for the sign.
std::string with_signs(std::string text) {
  constexpr std::array<std::pair<std::string_view, std::string_view>, 6> signs{{{" degC", "\u00a0°C"},
                                                                                {"degC", "°C"},
                                                                                {" mohm", "\u00a0mΩ"},
                                                                                {"mohm", "mΩ"},
                                                                                {" +- ", "\u00a0±\u00a0"},
                                                                                {"+-", "±"}}};
  for (const auto& [plain, sign] : signs) {
    for (auto at = text.find(plain); at != std::string::npos; at = text.find(plain, at + sign.size()))
      text.replace(at, plain.size(), sign);
  }
  return text;
}

Layout layout_of(cairo_t* context, const std::string& words, const TextStyle& style) {
  Layout layout(pango_cairo_create_layout(context));
  PangoContext* const setting = pango_layout_get_context(layout.get());
  // A page, not a screen: letters stand where their outlines say, the same on every machine with these fonts.
  pango_context_set_round_glyph_positions(setting, FALSE);
  cairo_font_options_t* const options = cairo_font_options_create();
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  pango_cairo_context_set_font_options(setting, options);
  cairo_font_options_destroy(options);
  PangoFontDescription* const font = pango_font_description_new();
  pango_font_description_set_family(font, style.is_mono ? "DejaVu Sans Mono" : "DejaVu Sans");
  pango_font_description_set_absolute_size(font, style.size * PANGO_SCALE);
  pango_font_description_set_weight(font, style.is_bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_layout_set_font_description(layout.get(), font);
  pango_font_description_free(font);
  const std::string shown = with_signs(words);
  pango_layout_set_text(layout.get(), shown.data(), static_cast<int>(shown.size()));
  return layout;
}

}  // namespace

Sheet::Sheet(cairo_t* context) : is_measuring_(context == nullptr) {
  if (context != nullptr) {
    context_ = cairo_reference(context);
  } else {
    scratch_ = cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, nullptr);
    context_ = cairo_create(scratch_);
  }
}

Sheet::~Sheet() {
  cairo_destroy(context_);
  if (scratch_ != nullptr) cairo_surface_destroy(scratch_);
}

void Sheet::use(Ink ink) {
  const Shade shade = shade_of(ink);
  cairo_set_source_rgb(context_, shade.red, shade.green, shade.blue);
}

double Sheet::text(const SheetFrame& at, const std::string& words, const TextStyle& style) {
  if (words.empty()) return 0.0;
  const Layout layout = layout_of(context_, words, style);
  pango_layout_set_width(layout.get(), static_cast<int>(at.width * PANGO_SCALE));
  pango_layout_set_wrap(layout.get(), PANGO_WRAP_WORD_CHAR);
  pango_layout_set_alignment(layout.get(), style.is_right ? PANGO_ALIGN_RIGHT : PANGO_ALIGN_LEFT);
  if (style.lines_max > 0) {
    pango_layout_set_ellipsize(layout.get(), PANGO_ELLIPSIZE_END);
    pango_layout_set_height(layout.get(), -style.lines_max);
  }
  if (!is_measuring_) {
    use(style.ink);
    cairo_move_to(context_, at.x, at.y);
    pango_cairo_show_layout(context_, layout.get());
  }
  int height = 0;
  pango_layout_get_size(layout.get(), nullptr, &height);
  return static_cast<double>(height) / PANGO_SCALE;
}

double Sheet::width_of(const std::string& words, const TextStyle& style) {
  const Layout layout = layout_of(context_, words, style);
  int width = 0;
  pango_layout_get_size(layout.get(), &width, nullptr);
  return static_cast<double>(width) / PANGO_SCALE;
}

void Sheet::line(double x1, double y1, double x2, double y2, Ink ink, double width) {
  if (is_measuring_) return;
  use(ink);
  cairo_set_line_width(context_, width);
  cairo_move_to(context_, x1, y1);
  cairo_line_to(context_, x2, y2);
  cairo_stroke(context_);
}

void Sheet::fill(const SheetFrame& frame, Ink ink) {
  if (is_measuring_) return;
  use(ink);
  cairo_rectangle(context_, frame.x, frame.y, frame.width, frame.height);
  cairo_fill(context_);
}

void Sheet::outline(const SheetFrame& frame, Ink ink, double width) {
  if (is_measuring_) return;
  use(ink);
  cairo_set_line_width(context_, width);
  cairo_rectangle(context_, frame.x, frame.y, frame.width, frame.height);
  cairo_stroke(context_);
}

void Sheet::barcode(const SheetFrame& frame, const Barcode& code) {
  if (is_measuring_ || code.width() == 0) return;
  const double module = frame.width / static_cast<double>(code.width());
  const double height = code.rows.size() == 1 ? frame.height : module;
  cairo_set_source_rgb(context_, 0.0, 0.0, 0.0);
  for (std::size_t row = 0; row < code.rows.size(); ++row) {
    const std::vector<bool>& modules = code.rows[row];
    for (std::size_t from = 0; from < modules.size();) {
      std::size_t to = from;
      while (to < modules.size() && modules[to] == modules[from]) ++to;
      if (modules[from]) {
        cairo_rectangle(context_, frame.x + static_cast<double>(from) * module,
                        frame.y + static_cast<double>(row) * height, static_cast<double>(to - from) * module,
                        height);
      }
      from = to;
    }
  }
  // One path: no hairline of paper between rows that touch.
  cairo_fill(context_);
}

}  // namespace leadwright
