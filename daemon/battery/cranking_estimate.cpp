// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/cranking_estimate.h"

#include <cmath>
#include <utility>

#include "daemon/battery/pulse_resistance.h"
#include "daemon/battery/resistance.h"
#include "daemon/battery/trace_reading.h"
#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

/// P/M: healthy six cells at 25 degC lie at R x CCA = 2.4 to 3.2 V. F: one data sheet gives 2.44 V.
constexpr Volt band_middle{2.8};
constexpr Volt band_half_width{0.4};
/// M: -0.5 to -1 %/K near 25 degC.
constexpr double resistance_per_kelvin = -0.0075;
constexpr double resistance_per_kelvin_half_width = 0.0025;
constexpr Celsius resistance_reference{25.0};
/// F: equal new blocks differ by 5 to 10 %.
constexpr double u_between_blocks = 0.10;
/// P: how soon after the edge the resistance is read, and what cold does beside resistance.
constexpr double u_of_method = 0.10;

}  // namespace

CrankingEstimate cranking_estimate(Ohm resistance, Ohm u_resistance, Celsius battery, int cells) {
  const Volt band = band_middle * (cells / 6.0);
  const double away = (battery - resistance_reference).si();
  const Ohm referred = resistance / (1.0 + resistance_per_kelvin * away);
  const Ampere amps = band / referred;
  const double i = amps.si();
  return {
      amps,
      {{"band of R x CCA", fixed(band_half_width.si() * cells / 6.0, 1) + " V rect.",
        i * rectangular(band_half_width / band_middle), fixed(band.si(), 1) + " V",
        sensitivity_text(i / band.si(), "A/V")},
       {"equal batteries differ", fixed(100.0 * u_between_blocks, 0) + " %", i * u_between_blocks,
        fixed(i, 0) + " A", sensitivity_text(0.01 * i, "A/%")},
       {"resistance for cranking", fixed(100.0 * u_of_method, 0) + " %", i * u_of_method, "",
        sensitivity_text(0.01 * i, "A/%")},
       {"resistance", fixed(1000.0 * u_resistance.si(), 3) + " mohm", i * (u_resistance / resistance),
        fixed(1000.0 * resistance.si(), 3) + " mohm", sensitivity_text(1e-3 * i / resistance.si(), "A/mohm")},
       {"temperature coefficient", "0.25 %/K rect. over " + fixed(away, 1) + " K",
        i * std::abs(away) * rectangular(resistance_per_kelvin_half_width),
        fixed(100.0 * resistance_per_kelvin, 2) + " %/K", sensitivity_text(0.01 * i * away, "A K/%")}}};
}

Result<Findings> state_cranking_estimate(const FindingRequest& request) {
  if (request.of.empty() || request.of.size() > 2) {
    return fail(Errc::bad_input, "the estimate is made of a pulse train or of two draws", "of",
                "name the pulse step, or both draws");
  }
  auto of_resistance = request.of.size() == 1 ? state_pulse_resistance(request) : state_resistance(request);
  if (!of_resistance) return pass(of_resistance);
  const Finding& resistance = of_resistance->findings.front();
  auto span = span_named(*request.trace, request.of.back());
  if (!span) return pass(span);
  const auto temperature = median_temperature(samples_of(*request.trace, *span));
  if (!temperature) {
    return fail(Errc::unsupported, "without a temperature the resistance tells nothing of cranking", "trace",
                "check the thermometer");
  }
  CrankingEstimate estimate =
      cranking_estimate(Ohm(resistance.value), Ohm(resistance.u), *temperature, request.nameplate.cells);
  Finding finding;
  finding.measurand = Measurand::cranking_estimate;
  finding.value = estimate.amps.si();
  finding.method = "estimated from the resistance at bench temperature, not measured cold";
  finding.conditions = fixed(1000.0 * resistance.value, 3) + " mohm (" + resistance.method + ") at " +
                       fixed(temperature->degc(), 1) + " degC; a battery that is not full reads low";
  Findings findings;
  findings.findings.push_back(with_budget(std::move(finding), std::move(estimate.budget)));
  return findings;
}

}  // namespace leadwright
