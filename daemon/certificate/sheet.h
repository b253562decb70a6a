// SPDX-License-Identifier: Apache-2.0
// Text and shapes on paper, in points (1/72 inch) from the upper left corner, in one hue. Private to this
// folder: it shows the drawing library.
#pragma once

#include <cairo.h>

#include <string>

#include "daemon/certificate/barcode.h"

namespace leadwright {

constexpr double points(double mm) {
  return mm * 72.0 / 25.4;
}

/// Shades of the one hue, each readable on white paper down to `quiet`; the others are for lines and fields.
enum class Ink { dark, quiet, line, field, paper };

struct TextStyle {
  double size = 8.5;  ///< points
  bool is_bold = false;
  bool is_mono = false;
  Ink ink = Ink::dark;
  int lines_max = 0;  ///< what is longer ends with an ellipsis; 0: as many as it takes
  bool is_right = false;
};

struct SheetFrame {
  double x = 0.0;
  double y = 0.0;
  double width = 0.0;
  double height = 0.0;
};

class Sheet {
 public:
  /// Draws nothing without a context, and measures all the same.
  explicit Sheet(cairo_t* context);
  Sheet(const Sheet&) = delete;
  Sheet& operator=(const Sheet&) = delete;
  ~Sheet();

  /// From the upper left corner at the frame's width; "degC", "mohm" and "+-" are set as signs. Returns the
  /// height that it takes.
  double text(const SheetFrame& at, const std::string& words, const TextStyle& style);
  /// The width of one line.
  double width_of(const std::string& words, const TextStyle& style);
  void line(double x1, double y1, double x2, double y2, Ink ink, double width = 0.5);
  void fill(const SheetFrame& frame, Ink ink);
  void outline(const SheetFrame& frame, Ink ink, double width = 0.7);
  /// Whole modules of the frame's width; a code of one row is as high as the frame. Without a quiet zone.
  void barcode(const SheetFrame& frame, const Barcode& code);
  /// For paths; null when only measuring.
  cairo_t* context() const { return is_measuring_ ? nullptr : context_; }
  void use(Ink ink);
  /// From now on everything is measured and nothing is drawn, or drawn again.
  void measure_only(bool is_measuring) { is_measuring_ = is_measuring; }
  bool is_measuring() const { return is_measuring_; }

 private:
  cairo_surface_t* scratch_ = nullptr;  ///< what is measured on when there is no context
  cairo_t* context_ = nullptr;
  bool is_measuring_ = false;
};

}  // namespace leadwright
