// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>
#include <cmath>

#include "daemon/battery/uncertainty.h"
#include "daemon/certificate/page_parts.h"

namespace leadwright {
namespace {

constexpr double left_room = 28.0;
constexpr double bottom_room = 22.0;
constexpr double top_room = 15.0;
constexpr int steps_up = 5;
constexpr int steps_across = 9;
constexpr double seconds_shown_below = 180.0;

/// A step of 1, 2 or 5 and its tens that divides the span into about so many.
double round_step(double span, int wanted) {
  const double raw = span / wanted;
  const double ten = std::pow(10.0, std::floor(std::log10(raw)));
  for (const double factor : {1.0, 2.0, 5.0}) {
    if (factor * ten >= raw) return factor * ten;
  }
  return 10.0 * ten;
}

struct Axis {
  double low = 0.0;
  double high = 1.0;
  double step = 1.0;
  int decimals() const { return std::max(0, static_cast<int>(std::ceil(-std::log10(step) - 1e-9))); }
  double share(double value) const { return (value - low) / (high - low); }
};

Axis axis_of(double low, double high, int steps) {
  if (!(high > low)) high = low + 1.0;
  Axis axis;
  axis.step = round_step(high - low, steps);
  axis.low = std::floor(low / axis.step) * axis.step;
  axis.high = std::ceil(high / axis.step) * axis.step;
  return axis;
}

class Plot {
 public:
  Plot(Sheet& sheet, const SheetFrame& frame, const CertifiedPlot& plot, double size)
      : sheet_(sheet),
        plot_(plot),
        size_(size),
        area_{frame.x + left_room, frame.y + top_room, frame.width - left_room - 4.0,
              frame.height - top_room - bottom_room} {
    const double last = plot.points.back().at.si();
    unit_ = last < seconds_shown_below ? 1.0 : 60.0;
    across_ = axis_of(plot.points.front().at.si() / unit_, last / unit_, steps_across);
    across_.low = plot.points.front().at.si() / unit_;
    across_.high = last / unit_;
    const auto [low, high] = std::ranges::minmax(plot.points, {}, &PlotPoint::volts);
    const Volt least = plot.cutoff ? std::min(low.volts, *plot.cutoff) : low.volts;
    up_ = axis_of(least.si(), high.volts.si(), steps_up);
  }

  void draw() {
    grid();
    if (plot_.cutoff) cutoff();
    curve();
    sheet_.text({area_.x - left_room, area_.y - top_room, area_.width + left_room, 0.0}, plot_.title,
                {size_, true, false, Ink::dark, 1});
  }

 private:
  double x(double time) const { return area_.x + area_.width * across_.share(time); }
  double y(double volts) const { return area_.y + area_.height * (1.0 - up_.share(volts)); }
  TextStyle quiet(bool is_right = false) const {
    return {size_ - 1.4, false, false, Ink::quiet, 1, is_right};
  }

  void grid() {
    for (double volts = up_.low; volts < up_.high + 0.5 * up_.step; volts += up_.step) {
      sheet_.line(area_.x, y(volts), area_.x + area_.width, y(volts), Ink::line, 0.4);
      sheet_.text({area_.x - left_room, y(volts) - 0.6 * size_, left_room - 4.0, 0.0},
                  fixed(volts, up_.decimals()), quiet(true));
    }
    const double first = std::ceil(across_.low / across_.step - 1e-9) * across_.step;
    for (double time = first; time < across_.high + 1e-9; time += across_.step) {
      sheet_.line(x(time), area_.y + area_.height, x(time), area_.y + area_.height + 3.0, Ink::quiet, 0.5);
      const std::string words = fixed(time + 0.0, across_.decimals());
      const double half = 0.5 * sheet_.width_of(words, quiet());
      sheet_.text({x(time) - half, area_.y + area_.height + 3.0, 4.0 * half, 0.0}, words, quiet());
    }
    const std::string unit = unit_ > 1.0 ? "V over minutes of discharge" : "V over seconds of discharge";
    sheet_.text({area_.x, area_.y + area_.height + 11.0, area_.width, 0.0}, unit, quiet(true));
  }
  void cutoff() {
    const double at = y(plot_.cutoff->si());
    sheet_.line(area_.x, at, area_.x + area_.width, at, Ink::dark, 0.8);
    sheet_.text({area_.x + 4.0, at - size_ - 3.0, area_.width, 0.0},
                "cut-off " + fixed(plot_.cutoff->si(), 2) + " V; " + plot_.end, quiet());
  }
  void curve() {
    cairo_t* const context = sheet_.context();
    if (context == nullptr) return;
    sheet_.use(Ink::dark);
    cairo_new_path(context);
    cairo_set_line_width(context, 1.3);
    cairo_set_line_join(context, CAIRO_LINE_JOIN_ROUND);
    for (const PlotPoint& point : plot_.points)
      cairo_line_to(context, x(point.at.si() / unit_), y(point.volts.si()));
    cairo_stroke(context);
  }

  Sheet& sheet_;
  const CertifiedPlot& plot_;
  double size_;
  SheetFrame area_;
  double unit_ = 60.0;  ///< seconds in what is written below
  Axis across_;
  Axis up_;
};

}  // namespace

void draw_plot(Sheet& sheet, const SheetFrame& frame, const CertifiedPlot& plot, const Density& density) {
  if (plot.points.size() < 2) return;
  Plot(sheet, frame, plot, density.size).draw();
}

}  // namespace leadwright
