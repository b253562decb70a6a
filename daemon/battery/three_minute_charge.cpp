// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/three_minute_charge.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "daemon/battery/trace_reading.h"
#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

/// F: two service manuals.
constexpr Ampere test_current{40.0};
/// P: at this share of it and above it counts as given.
constexpr double given_share = 0.95;
/// P: what a rise of voltage that is put in proportion to the current may be off, half-width.
constexpr double rise_half_width = 0.4;
constexpr Second rest_window{10.0};

struct Peak {
  Volt volts;
  Ampere amps;  ///< most that flowed
};

std::optional<Peak> peak_of(std::span<const Sample> samples) {
  std::optional<Peak> peak;
  for (const Sample& sample : samples) {
    if (!sample.volts || !sample.amps) continue;
    if (!peak) peak = Peak{*sample.volts, abs(*sample.amps)};
    peak->volts = std::max(peak->volts, *sample.volts);
    peak->amps = std::max(peak->amps, abs(*sample.amps));
  }
  return peak;
}

}  // namespace

Result<Findings> state_three_minute_charge(const FindingRequest& request) {
  if (request.of.size() != 2) {
    return fail(Errc::bad_input, "the three-minute charge is made of a rest and a charge", "of", "name both");
  }
  const Chemistry chemistry = request.nameplate.chemistry;
  if (chemistry != Chemistry::flooded && chemistry != Chemistry::efb) {
    return fail(Errc::unsupported, "the three-minute charge is for flooded batteries only", "nameplate",
                "recover an AGM or gel battery by the recovery procedure");
  }
  auto rest_span = span_named(*request.trace, request.of[0]);
  if (!rest_span) return pass(rest_span);
  auto rest = last_volts(samples_of(*request.trace, *rest_span), rest_window);
  if (!rest) return pass(rest);
  auto span = span_named(*request.trace, request.of[1]);
  if (!span) return pass(span);
  const auto peak = peak_of(samples_of(*request.trace, *span));
  if (!peak || peak->amps <= Ampere(0.0)) {
    return fail(Errc::unsupported, "no sample of the charge has volts and amps", "trace", "run it again");
  }

  const Volt most = three_minute_cell_max * static_cast<double>(request.nameplate.cells);
  // Above the most already: more current would have lifted it further, and that decides nothing more.
  const bool small = peak->amps < test_current * given_share;
  const bool estimated = small && peak->volts < most;
  const double factor = estimated ? test_current / peak->amps : 1.0;
  const double added = (peak->volts - rest->mean).si() * (factor - 1.0);
  const Volt volts = peak->volts + Volt(added);
  std::vector<BudgetLine> budget{{"voltmeter", "by its profile", u_of(peak->volts, request.accuracy).si(),
                                  fixed(peak->volts.si(), 3) + " V", "1 V/V"}};
  if (estimated) {
    budget.push_back({"smaller current", "40 % of the added rise, rect.",
                      rectangular(rise_half_width * std::abs(added)), fixed(added, 2) + " V", "1 V/V"});
  }
  Finding highest;
  highest.measurand = Measurand::charge_peak;
  highest.value = volts.si();
  highest.method = estimated ? "estimated for 40 A from " + fixed(peak->amps.si(), 1) + " A in proportion"
                   : small   ? "highest voltage, though only " + fixed(peak->amps.si(), 1) + " A flowed"
                             : "highest voltage while 40 A were given for three minutes";
  highest.conditions = fixed(peak->amps.si(), 1) + " A for " +
                       fixed((span->ended_at - span->started_at).si(), 0) + " s from " +
                       fixed(rest->mean.si(), 2) + " V; ended by: " + span->end;
  Finding margin = highest;
  margin.measurand = Measurand::charge_margin;
  margin.value = (most - volts).si();
  margin.conditions += "; the most that is sound is " + fixed(most.si(), 2) + " V";
  Findings findings;
  findings.findings.push_back(with_budget(std::move(highest), budget));
  findings.findings.push_back(with_budget(std::move(margin), std::move(budget)));
  return findings;
}

}  // namespace leadwright
