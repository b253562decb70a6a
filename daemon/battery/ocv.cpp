// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/ocv.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

namespace leadwright {
namespace {

struct Rung {
  double share;
  double cell_v;
};

struct Ladder {
  std::array<Rung, 5> rungs;  ///< rising
  double u_share;             ///< standard uncertainty of the ladder itself: makers differ
  double u_cell_v;            ///< of the relation of acid and voltage
};

constexpr double ocv_v_per_k_and_cell = 0.0002;  // M: thermodynamic value near SG 1.25-1.28
constexpr Celsius ocv_reference{25.0};
constexpr Kelvin u_unknown_temperature{15.0};

/// F: SG 1.120 1.155 1.190 1.225 1.265 = 0 25 50 75 100 % (TM 5-4210-230-14&P-1, table 2). Volts: SG + 0.845
/// from SG 1.225 up; below, where that rule reads low, Bode at the molality of the same acid, 3.64, 2.88
/// and 2.15 mol/kg (densities from memory, M). u: 1.265 or 1.280 acid when full is 15 mV a cell, rectangular
/// (C).
constexpr Ladder flooded_ladder{
    {{{0.00, 1.9814}, {0.25, 2.0119}, {0.50, 2.0414}, {0.75, 2.070}, {1.00, 2.110}}}, 0.04, 0.005};
/// M: as flooded with 1.280 acid, 12.7-12.8 V when full.
constexpr double efb_shift_cell_v = 0.015;
/// F: a maker's table, 12.0 12.3 12.6 12.8 V = 25 50 75 100 %; its foot is M. Spread between makers 0.1 V
/// (P).
constexpr Ladder agm_ladder{
    {{{0.00, 1.950}, {0.25, 2.000}, {0.50, 2.050}, {0.75, 2.100}, {1.00, 2.1333}}}, 0.10, 0.0096};
/// F, trade: 12.8 V full, about 12.1 V half; the rest drawn through them (M).
constexpr Ladder gel_ladder{
    {{{0.00, 1.900}, {0.25, 1.9583}, {0.50, 2.0167}, {0.75, 2.075}, {1.00, 2.1333}}}, 0.10, 0.0096};

/// C: of a kind that nobody knows, the middle between the highest and the lowest of the three; from a quarter
/// up they lie at most 27 mV to either side of it, rectangular.
constexpr Ladder unknown_kind_ladder{
    {{{0.00, 1.9407}, {0.25, 1.9851}, {0.50, 2.0334}, {0.75, 2.085}, {1.00, 2.1217}}}, 0.10, 0.0155};

struct Point {
  double share;
  double per_volt;
};

Point on_ladder(const Ladder& ladder, double cell_v) {
  std::size_t upper = 1;
  while (upper + 1 < ladder.rungs.size() && cell_v > ladder.rungs[upper].cell_v) ++upper;
  const Rung& below = ladder.rungs[upper - 1];
  const Rung& above = ladder.rungs[upper];
  const double per_volt = (above.share - below.share) / (above.cell_v - below.cell_v);
  return {std::clamp(below.share + (cell_v - below.cell_v) * per_volt, 0.0, 1.0), per_volt};
}

}  // namespace

SpecificGravity at_80_fahrenheit(SpecificGravity reading, Celsius acid) {
  return {reading.value + 0.004 * (acid.fahrenheit() - 80.0) / 10.0};
}

Volt cell_volts(SpecificGravity gravity) {
  return Volt(gravity.value + 0.845);
}

Volt cell_volts(Molality molality) {
  const double l = std::log10(molality.mol_per_kg);
  const double positive = 1.628 + l * (0.074 + l * (0.033 + l * (0.043 + l * 0.022)));
  const double negative = -0.294 - l * (0.074 + l * (0.030 + l * (0.031 + l * 0.012)));
  return Volt(positive - negative);
}

Volt ocv_at_25_degc(Volt ocv, int cells, Celsius battery) {
  return ocv - Volt(ocv_v_per_k_and_cell * cells * (battery - ocv_reference).si());
}

Result<StateOfCharge> state_of_charge(const Nameplate& nameplate, const RestedOcv& ocv) {
  if (!is_lead(nameplate.chemistry)) {
    return fail(Errc::refused, "a state of charge is known for lead batteries only", "chemistry",
                "state the chemistry printed on the label");
  }
  if (nameplate.cells != 3 && nameplate.cells != 6) {
    return fail(Errc::bad_input, "cells must be 3 or 6", "cells", "count the cells");
  }
  const Ladder& ladder = nameplate.chemistry == Chemistry::agm    ? agm_ladder
                         : nameplate.chemistry == Chemistry::gel  ? gel_ladder
                         : nameplate.chemistry == Chemistry::lead ? unknown_kind_ladder
                                                                  : flooded_ladder;
  const Volt referred = ocv.battery ? ocv_at_25_degc(ocv.volts, nameplate.cells, *ocv.battery) : ocv.volts;
  double cell_v = referred.si() / nameplate.cells;
  if (nameplate.chemistry == Chemistry::efb) cell_v -= efb_shift_cell_v;
  const Point point = on_ladder(ladder, cell_v);
  const double u_meter = ocv.u.si() / nameplate.cells;
  const double u_temperature = ocv.battery ? 0.0 : ocv_v_per_k_and_cell * u_unknown_temperature.si();
  const double u_cell_v = std::hypot(u_meter, u_temperature, ladder.u_cell_v);
  return StateOfCharge{point.share, std::hypot(point.per_volt * u_cell_v, ladder.u_share)};
}

bool is_rested(const Trace& trace, const Trace::StepSpan& rest) {
  constexpr Second long_rest = hours(8.0);
  constexpr Second window = minutes(30.0);
  constexpr VoltPerSecond steepest{0.0075 / 3600.0};
  const Second lasted = rest.ended_at - rest.started_at;
  if (lasted >= long_rest) return true;
  if (lasted < window) return false;
  const auto slope = last_slope(samples_of(trace, rest), window);
  return slope && abs(*slope) < steepest;
}

}  // namespace leadwright
