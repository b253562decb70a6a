// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/shelf.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

namespace leadwright {
namespace {

struct ShelfPoint {
  double x;
  double y;
};

/// State of charge and gravity.
constexpr std::array<ShelfPoint, 5> charge_rows{
    {{0.00, 1.120}, {0.25, 1.155}, {0.50, 1.190}, {0.75, 1.225}, {1.00, 1.265}}};
/// Gravity and degF.
constexpr std::array<ShelfPoint, 8> freezing_rows{{{1.000, 32},
                                                   {1.050, 27},
                                                   {1.100, 18},
                                                   {1.120, 15},
                                                   {1.155, 5},
                                                   {1.190, -15},
                                                   {1.225, -35},
                                                   {1.265, -75}}};
/// degF and gravity a day.
constexpr std::array<ShelfPoint, 3> loss_rows{{{50, 0.0003}, {80, 0.001}, {100, 0.0025}}};
constexpr double seconds_a_day = 86400.0;

/// The two rows around x, and how far it lies from the lower to the upper one.
struct Between {
  ShelfPoint low;
  ShelfPoint high;
  double share;
};

Between around(std::span<const ShelfPoint> rows, double x) {
  std::size_t upper = 1;
  while (upper + 1 < rows.size() && x > rows[upper].x) ++upper;
  const ShelfPoint& low = rows[upper - 1];
  const ShelfPoint& high = rows[upper];
  return {low, high, (x - low.x) / (high.x - low.x)};
}

/// Linear between rows; beyond the ends what stands there.
double on_rows(std::span<const ShelfPoint> rows, double x) {
  const Between at = around(rows, std::clamp(x, rows.front().x, rows.back().x));
  return at.low.y + (at.high.y - at.low.y) * at.share;
}

}  // namespace

SpecificGravity gravity_at(double soc) {
  return {on_rows(charge_rows, soc)};
}

Celsius freezing_point(SpecificGravity gravity) {
  return Celsius((on_rows(freezing_rows, gravity.value) - 32.0) / 1.8);
}

std::optional<SpecificGravity> gravity_lost(Celsius stored, Second stood) {
  // A table in whole degrees is not left by the rounding of a conversion.
  const double degf = std::round(stored.fahrenheit() * 1e6) / 1e6;
  if (degf < loss_rows.front().x || degf > loss_rows.back().x) return std::nullopt;
  const Between at = around(loss_rows, degf);
  const double a_day = at.high.y * std::pow(at.low.y / at.high.y, 1.0 - at.share);
  return SpecificGravity{a_day * stood.si() / seconds_a_day};
}

}  // namespace leadwright
