// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/shown_finding.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

struct NameOf {
  Measurand measurand;
  const char* name;
  const char* unit;
  double factor;  ///< how many of that unit make one of the finding's
};

constexpr std::array<NameOf, 32> names{
    {{Measurand::ocv, "open-circuit voltage", "V", 1.0},
     {Measurand::soc, "state of charge", "%", 100.0},
     {Measurand::resistance, "internal resistance", "mohm", 1000.0},
     {Measurand::reserve_capacity, "reserve capacity as measured", "min", 1.0},
     {Measurand::reserve_capacity_ref, "reserve capacity at the rating's temperature", "min", 1.0},
     {Measurand::delivered, "charge given", "Ah", 1.0},
     {Measurand::returned, "charge taken", "Ah", 1.0},
     {Measurand::temperature, "case temperature", "degC", 1.0},
     {Measurand::load_volts, "voltage under load", "V", 1.0},
     {Measurand::load_margin, "voltage under load above the least", "V", 1.0},
     {Measurand::polarisation, "what a pulse adds to the resistance", "mohm", 1000.0},
     {Measurand::cranking_estimate, "cranking current, estimated and not measured", "A", 1.0},
     {Measurand::capacity_20h, "20-hour capacity as measured", "Ah", 1.0},
     {Measurand::capacity_20h_ref, "20-hour capacity at 25 degC", "Ah", 1.0},
     {Measurand::rest_slope, "drift of the resting voltage a day", "mV", 1.0},
     {Measurand::self_discharge, "self-discharge a day", "%", 100.0},
     {Measurand::charge_peak, "highest voltage in the three-minute charge", "V", 1.0},
     {Measurand::charge_margin, "three-minute charge below the most that is sound", "V", 1.0},
     {Measurand::accepted, "charge accepted at first", "Ah", 1.0},
     {Measurand::charge_needed, "charge still to be put in", "Ah", 1.0},
     {Measurand::amps_zero, "ammeter with nothing on", "A", 1.0},
     {Measurand::meters_apart, "charger's voltmeter less the load's", "V", 1.0},
     {Measurand::reserve_capacity_at_least, "reserve capacity, at least, as measured", "min", 1.0},
     {Measurand::reserve_capacity_ref_at_least, "reserve capacity, at least, at the rating's temperature",
      "min", 1.0},
     {Measurand::reserve_capacity_ref_forecast, "reserve capacity by forecast, not measured", "min", 1.0},
     {Measurand::load_margin_usual, "the same, estimated for half the usual CCA", "V", 1.0},
     {Measurand::acid_gravity, "specific gravity of the acid at 80 degF", "", 1.0},
     {Measurand::acid_spread, "specific gravity, spread between the cells", "", 1.0},
     {Measurand::acid_cell_below, "specific gravity of the lowest cell below the others", "", 1.0},
     {Measurand::soc_by_acid, "state of charge by the acid", "%", 100.0},
     {Measurand::ocv_above_acid, "rested voltage above what its acid gives", "V", 1.0},
     {Measurand::time_to_full, "time to full", "min", 1.0}}};

}  // namespace

int decimals_of(double u) {
  if (!(u > 0.0)) return 3;
  return std::clamp(1 - static_cast<int>(std::floor(std::log10(coverage_factor * u))), 0, 5);
}

ShownFinding shown_finding(const Finding& finding) {
  const auto* const named = std::ranges::find(names, finding.measurand, &NameOf::measurand);
  const bool known = named != names.end();
  const double factor = known ? named->factor : 1.0;
  const double u = factor * finding.u;
  return {known ? named->name : key(finding.measurand), fixed(factor * finding.value, decimals_of(u)),
          fixed(coverage_factor * u, decimals_of(u)), known ? named->unit : ""};
}

}  // namespace leadwright
