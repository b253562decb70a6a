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

/// The row above x, at least the second one.
std::size_t row_above(std::span<const ShelfPoint> rows, double x) {
  std::size_t upper = 1;
  while (upper + 1 < rows.size() && x > rows[upper].x) ++upper;
  return upper;
}

}  // namespace

SpecificGravity gravity_at(double soc) {
  const double x = std::clamp(soc, charge_rows.front().x, charge_rows.back().x);
  const std::size_t upper = row_above(charge_rows, x);
  const ShelfPoint& low = charge_rows[upper - 1];
  const ShelfPoint& high = charge_rows[upper];
  return {low.y + (high.y - low.y) * (x - low.x) / (high.x - low.x)};
}

Celsius freezing_point(SpecificGravity gravity) {
  const double x = std::min(std::max(gravity.value, freezing_rows.front().x), freezing_rows.back().x);
  const std::size_t upper = row_above(freezing_rows, x);
  const ShelfPoint& low = freezing_rows[upper - 1];
  const ShelfPoint& high = freezing_rows[upper];
  const double degf = low.y + (high.y - low.y) * (x - low.x) / (high.x - low.x);
  return Celsius((degf - 32.0) / 1.8);
}

std::optional<SpecificGravity> gravity_lost(Celsius stored, Second stood) {
  // A table in whole degrees is not left by the rounding of a conversion.
  const double degf = std::round(stored.fahrenheit() * 1e6) / 1e6;
  if (degf < loss_rows.front().x || degf > loss_rows.back().x) return std::nullopt;
  const std::size_t upper = row_above(loss_rows, degf);
  const ShelfPoint& low = loss_rows[upper - 1];
  const ShelfPoint& high = loss_rows[upper];
  const double share = (degf - low.x) / (high.x - low.x);
  const double a_day = high.y * std::pow(low.y / high.y, 1.0 - share);
  return SpecificGravity{a_day * stood.si() / seconds_a_day};
}

}  // namespace leadwright
