// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/resistance.h"

#include <cmath>
#include <utility>

#include "daemon/battery/trace_reading.h"
#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

constexpr Ampere smallest_step{1.0};
constexpr Second step_window{10.0};

struct MeasuredLevel {
  CurrentLevel level;
  Volt u_noise_volts;
  Ampere u_noise_amps;
  std::optional<Celsius> temperature;
};

Result<MeasuredLevel> measured(const Trace& trace, const std::string& name) {
  auto span = span_named(trace, name);
  if (!span) return pass(span);
  const auto samples = samples_of(trace, *span);
  auto volts = last_volts(samples, step_window);
  if (!volts) return pass(volts);
  auto amps = last_amps(samples, step_window);
  if (!amps) return pass(amps);
  return MeasuredLevel{{volts->mean, amps->mean}, volts->u, amps->u, median_temperature(samples)};
}

std::vector<BudgetLine> budget_of(const TwoLevelResistance& result, const MeasuredLevel& low,
                                  const MeasuredLevel& high, const MeterAccuracy& accuracy) {
  const double step = abs(high.level.amps - low.level.amps).si();
  const double r = result.resistance.si();
  const double u_digit_v = rectangular(0.5 * accuracy.volts_resolution.si());
  const double u_digit_a = rectangular(0.5 * accuracy.amps_resolution.si());
  const double noise_v =
      std::hypot(low.u_noise_volts.si(), high.u_noise_volts.si(), std::sqrt(2.0) * u_digit_v);
  const double noise_a =
      std::hypot(low.u_noise_amps.si(), high.u_noise_amps.si(), std::sqrt(2.0) * u_digit_a);
  const std::string gain_v = fixed(100.0 * accuracy.volts_relative, 3) + " % rect.";
  const std::string gain_a = fixed(100.0 * accuracy.amps_relative, 3) + " % rect.";
  return {
      {"voltage difference", fixed(1000.0 * noise_v, 2) + " mV, noise and resolution", noise_v / step,
       fixed(abs(high.level.volts - low.level.volts).si(), 3) + " V", sensitivity_text(1.0 / step, "ohm/V")},
      {"current difference", fixed(1000.0 * noise_a, 1) + " mA, noise and resolution", r * noise_a / step,
       fixed(step, 2) + " A", sensitivity_text(r / step, "ohm/A")},
      {"voltmeter gain", gain_v, r * rectangular(accuracy.volts_relative), "both readings",
       sensitivity_text(0.01 * r, "ohm/%")},
      {"ammeter gain", gain_a, r * rectangular(accuracy.amps_relative), "both readings",
       sensitivity_text(0.01 * r, "ohm/%")}};
}

}  // namespace

Result<TwoLevelResistance> two_level_resistance(const CurrentLevel& low, const CurrentLevel& high) {
  const Ampere step = high.amps - low.amps;
  const Volt fall = low.volts - high.volts;
  if (step < smallest_step) {
    return fail(Errc::unsupported, "the two currents lie less than 1 A apart", "resistance",
                "check the load's setting and the clamps");
  }
  if (fall <= Volt(0.0)) {
    return fail(Errc::unsupported, "the voltage does not fall under the higher current", "resistance",
                "rest the battery and run it again; check the sense leads");
  }
  const Ohm resistance = fall / step;
  const Volt no_load = low.volts + resistance * low.amps;
  return TwoLevelResistance{resistance, no_load, no_load / resistance};
}

Ohm u_of(const TwoLevelResistance& result, Ampere step, Volt u_volts, Ampere u_amps) {
  const double from_volts = u_volts.si() / step.si();
  const double from_amps = result.resistance.si() * u_amps.si() / step.si();
  return Ohm(std::sqrt(2.0) * std::hypot(from_volts, from_amps));
}

Result<Findings> state_resistance(const FindingRequest& request) {
  if (request.of.size() != 2) {
    return fail(Errc::bad_input, "resistance is made of two draws", "of",
                "name the draw at each of the two currents");
  }
  auto low = measured(*request.trace, request.of[0]);
  if (!low) return pass(low);
  auto high = measured(*request.trace, request.of[1]);
  if (!high) return pass(high);
  if (high->level.amps < low->level.amps) std::swap(*low, *high);
  auto result = two_level_resistance(low->level, high->level);
  if (!result) return pass(result);

  Finding finding;
  finding.measurand = Measurand::resistance;
  finding.value = result->resistance.si();
  finding.method = "two levels of direct current";
  finding.conditions =
      fixed(low->level.amps.si(), 1) + " A and " + fixed(high->level.amps.si(), 1) + " A, " +
      (high->temperature ? fixed(high->temperature->degc(), 1) + " degC" : "temperature unknown");
  Findings findings;
  findings.findings.push_back(
      with_budget(std::move(finding), budget_of(*result, *low, *high, request.accuracy)));
  return findings;
}

}  // namespace leadwright
