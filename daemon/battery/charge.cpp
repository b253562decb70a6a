// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/charge.h"

#include <optional>
#include <span>
#include <utility>

#include "daemon/battery/trace_reading.h"
#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

std::optional<Fault> fault_by_end(const Trace::StepSpan& charge, std::span<const Sample> samples,
                                  Coulomb taken) {
  const bool takes_none = charge.end == takes_no_charge_end;
  if (!takes_none && charge.end != stays_low_end) return {};
  Fault fault;
  fault.kind = takes_none ? FaultKind::takes_no_charge : FaultKind::shorted_cell;
  fault.evidence = std::string("took ")
                       .append(fixed(as_ampere_hours(taken), 2))
                       .append(" Ah in ")
                       .append(fixed(as_hours(charge.ended_at - charge.started_at), 1))
                       .append(takes_none ? " h at the charge limit" : " h");
  if (!takes_none && !samples.empty() && samples.back().volts) {
    fault.evidence.append(" and still stands at only ")
        .append(fixed(samples.back().volts->si(), 2))
        .append(" V: a cell is shorted or reversed");
  }
  return fault;
}

}  // namespace

Result<Findings> state_returned_charge(const FindingRequest& request) {
  if (request.of.empty()) {
    return fail(Errc::bad_input, "returned charge is made of charge steps", "of", "name at least one charge");
  }
  Coulomb returned{};
  Second lasted{};
  Findings findings;
  for (const std::string& name : request.of) {
    auto span = span_named(*request.trace, name);
    if (!span) return pass(span);
    auto charge = charge_of(samples_of(*request.trace, *span));
    if (!charge) return pass(charge);
    returned -= *charge;
    lasted += span->ended_at - span->started_at;
    if (auto fault = fault_by_end(*span, samples_of(*request.trace, *span), -*charge)) {
      findings.faults.push_back(std::move(*fault));
    }
  }
  const double ah = as_ampere_hours(returned);
  const MeterAccuracy& accuracy = request.accuracy;
  Finding finding;
  finding.measurand = Measurand::returned;
  finding.value = ah;
  finding.method = "integral of the charge current";
  finding.conditions = "over " + fixed(as_hours(lasted), 2) + " h";
  findings.findings.push_back(with_budget(
      std::move(finding),
      {{"ammeter gain", fixed(100.0 * accuracy.amps_relative, 3) + " % rect., correlated",
        ah * rectangular(accuracy.amps_relative)},
       {"ammeter offset", fixed(1000.0 * accuracy.amps_absolute.si(), 0) + " mA rect., correlated",
        as_ampere_hours(rectangular(accuracy.amps_absolute) * lasted)}}));
  return findings;
}

}  // namespace leadwright
