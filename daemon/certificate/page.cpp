// SPDX-License-Identifier: Apache-2.0
#include "daemon/certificate/page.h"

#include <algorithm>
#include <array>

#include "daemon/certificate/page_parts.h"

namespace leadwright {
namespace {

constexpr double page_margin = points(13.0);
constexpr double part_gap = 7.0;
constexpr double plot_height_least = points(38.0);
constexpr double plot_height_most = points(78.0);
constexpr double plot_share = 0.60;
constexpr double column_gap = 14.0;

/// From roomy to tight.
constexpr std::array densities{Density{8.6, 2, 30, 12, 6, 4}, Density{8.0, 2, 30, 12, 6, 4},
                               Density{8.0, 1, 20, 6, 4, 3},  Density{7.6, 1, 16, 5, 3, 2},
                               Density{7.2, 1, 12, 4, 3, 2},  Density{6.8, 1, 9, 3, 2, 1},
                               Density{6.2, 1, 5, 2, 1, 0}};

class Page {
 public:
  Page(Sheet& sheet, SheetFrame paper, const Certificate& certificate, const PageMarks& marks)
      : sheet_(sheet), paper_(paper), certificate_(certificate), marks_(marks) {}

  /// What is left over with the smallest plot; negative if it does not fit.
  double measure(const Density& density) {
    sheet_.measure_only(true);
    const double used = parts(density, 0.0);
    sheet_.measure_only(false);
    return paper_.height - 2.0 * page_margin - used;
  }
  void draw(const Density& density, double left_over) {
    sheet_.fill(paper_, Ink::paper);
    parts(density, std::max(0.0, left_over));
  }

 private:
  SheetFrame rest() const { return {page_margin, y_, paper_.width - 2.0 * page_margin, 0.0}; }
  void went(double height) {
    if (height > 0.0) y_ += height + part_gap;
  }

  double parts(const Density& density, double left_over) {
    y_ = page_margin;
    went(page_head(sheet_, rest(), certificate_, marks_, density));
    went(page_verdict(sheet_, rest(), certificate_, density));
    went(page_battery(sheet_, rest(), certificate_, density));
    went(page_findings(sheet_, rest(), certificate_, density));
    went(plot_and_limits(density, left_over));
    went(page_instruments(sheet_, rest(), certificate_, density));
    went(page_cautions(sheet_, rest(), certificate_, density));
    const double foot = foot_height(density);
    // The foot stands at the bottom, whatever is above it.
    if (!sheet_.is_measuring()) {
      SheetFrame at = rest();
      at.y = std::max(y_, paper_.height - page_margin - foot);
      page_foot(sheet_, at, certificate_, marks_, density);
    }
    return y_ + foot - page_margin;
  }

  double foot_height(const Density& density) {
    const bool was = sheet_.is_measuring();
    sheet_.measure_only(true);
    const double height = page_foot(sheet_, rest(), certificate_, marks_, density);
    sheet_.measure_only(was);
    return height;
  }

  double plot_and_limits(const Density& density, double left_over) {
    SheetFrame plot = rest();
    SheetFrame limits = rest();
    if (!certificate_.plot) return page_limits(sheet_, limits, certificate_, density);
    plot.width = plot_share * (plot.width - column_gap);
    limits.x += plot.width + column_gap;
    limits.width -= plot.width + column_gap;
    const double beside = page_limits(sheet_, limits, certificate_, density);
    const double least = std::max(plot_height_least, beside);
    plot.height = std::max(least, std::min(plot_height_most, least + left_over));
    draw_plot(sheet_, plot, *certificate_.plot, density);
    return plot.height;
  }

  Sheet& sheet_;
  SheetFrame paper_;
  const Certificate& certificate_;
  const PageMarks& marks_;
  double y_ = 0.0;
};

}  // namespace

bool draw_page(Sheet& sheet, SheetFrame paper, const Certificate& certificate, const PageMarks& marks) {
  Page page(sheet, paper, certificate, marks);
  for (const Density& density : densities) {
    const double left_over = page.measure(density);
    if (left_over < 0.0) continue;
    page.draw(density, left_over);
    return true;
  }
  return false;
}

}  // namespace leadwright
