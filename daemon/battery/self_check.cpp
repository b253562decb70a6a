// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/self_check.h"

#include <cmath>
#include <utility>

#include "daemon/battery/trace_reading.h"
#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

constexpr Second check_window{20.0};
/// P: a good battery's charging resistance per ampere-hour of its size is far below this in the first
/// seconds; half-width of what a small current lifts a cell by.
constexpr Volt lift_half_width_cell{0.02};

}  // namespace

Result<Findings> state_self_check(const FindingRequest& request) {
  if (request.of.empty() || request.of.size() > 2) {
    return fail(Errc::bad_input, "the check is made of a rest, and of a small charge after it", "of",
                "name the rest, or both");
  }
  auto rest = span_named(*request.trace, request.of[0]);
  if (!rest) return pass(rest);
  const auto resting = samples_of(*request.trace, *rest);
  auto amps = last_amps(resting, check_window);
  if (!amps) return pass(amps);
  const MeterAccuracy& accuracy = request.accuracy;
  Finding zero;
  zero.measurand = Measurand::amps_zero;
  zero.value = amps->mean.si();
  zero.method = "mean reading of the ammeter with nothing on";
  zero.conditions = "its profile allows " + fixed(1000.0 * accuracy.amps_absolute.si(), 0) + " mA";
  Findings findings;
  findings.findings.push_back(
      with_budget(std::move(zero),
                  {{"noise", "of the mean", amps->u.si(), fixed(amps->mean.si(), 4) + " A", "1 A/A"},
                   {"resolution", "rect.", rectangular(0.5 * accuracy.amps_resolution.si()), "", "1 A/A"}}));
  if (request.of.size() == 1) return findings;

  auto volts = last_volts(resting, check_window);
  if (!volts) return pass(volts);
  auto charge = span_named(*request.trace, request.of[1]);
  if (!charge) return pass(charge);
  const auto charging = samples_of(*request.trace, *charge);
  auto other = last_volts(charging, check_window);
  if (!other) return pass(other);
  auto flowing = last_amps(charging, check_window);
  if (!flowing) return pass(flowing);
  Finding apart;
  apart.measurand = Measurand::meters_apart;
  apart.value = (other->mean - volts->mean).si();
  apart.method = "charger's voltmeter at a small current less the load's at rest";
  apart.conditions = fixed(volts->mean.si(), 3) + " V at rest; " + fixed(abs(flowing->mean).si(), 2) +
                     " A flowed, which lifts the voltage a little";
  const Volt lift = lift_half_width_cell * static_cast<double>(request.nameplate.cells);
  findings.findings.push_back(with_budget(
      std::move(apart),
      {{"lift by the current", fixed(lift.si(), 2) + " V rect.", rectangular(lift).si(), "0 V", "1 V/V"},
       {"noise", "of both means", std::hypot(volts->u.si(), other->u.si()), "", "1 V/V"},
       {"resolution", "rect.", std::sqrt(2.0) * rectangular(0.5 * accuracy.volts_resolution.si()), "",
        "1 V/V"}}));
  return findings;
}

}  // namespace leadwright
