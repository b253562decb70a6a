// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/charge.h"

#include <cmath>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "daemon/battery/time_to_full.h"
#include "daemon/battery/trace_reading.h"
#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

struct MovedIn {
  Trace::StepSpan span;  ///< its last part, if it was interrupted
  std::span<const Sample> samples;
  Coulomb out;  ///< of the battery; negative after a charge
  Second lasted;
};

std::optional<Fault> fault_by_end(const MovedIn& step) {
  const Trace::StepSpan& charge = step.span;
  const std::span<const Sample> samples = step.samples;
  const Coulomb taken = -step.out;
  const bool takes_none = charge.end == takes_no_charge_end;
  if (!takes_none && charge.end != stays_low_end) return {};
  Fault fault;
  fault.kind = takes_none ? FaultKind::takes_no_charge : FaultKind::shorted_cell;
  const std::vector<PhraseValue> amounts{said_amount("taken", as_ampere_hours(taken), 2, "Ah"),
                                         said_amount("lasted", as_hours(step.lasted), 1, "h")};
  Sentence evidence = takes_none
                          ? say("took_at_limit", "took {taken} in {lasted} at the charge limit", amounts)
                          : say("took", "took {taken} in {lasted}", amounts);
  if (!takes_none && !samples.empty() && samples.back().volts) {
    evidence.say("stands_low", " and still stands at only {volts}: a cell is shorted or reversed",
                 {said_amount("volts", samples.back().volts->si(), 2, "V")});
  }
  fault.evidence = evidence.text();
  fault.said = evidence.phrases();
  return fault;
}

struct Moved {
  std::vector<MovedIn> steps;  ///< at least one
  Coulomb out;
  Second lasted;
};

Result<Moved> moved_in(const FindingRequest& request) {
  if (request.of.empty()) {
    return fail(Errc::bad_input, "a charge is summed over steps", "of", "name at least one step");
  }
  Moved moved;
  for (const std::string& name : request.of) {
    auto parts = parts_named(*request.trace, name);
    if (!parts) return pass(parts);
    MovedIn step;
    for (const Trace::StepSpan& part : *parts) {
      step.span = part;
      step.samples = samples_of(*request.trace, part);
      // An interruption may have come before the first sample of a part.
      if (step.samples.empty() && parts->size() > 1) continue;
      auto charge = charge_of(step.samples);
      if (!charge) return pass(charge);
      step.out += *charge;
      step.lasted += part.ended_at - part.started_at;
    }
    moved.out += step.out;
    moved.lasted += step.lasted;
    moved.steps.push_back(std::move(step));
  }
  return moved;
}

/// Gain and offset of the meter, fully correlated over all steps.
std::vector<BudgetLine> charge_budget(double ah, Second lasted, const MeterAccuracy& accuracy) {
  return {{"ammeter gain", fixed(100.0 * accuracy.amps_relative, 3) + " % rect.",
           std::abs(ah) * rectangular(accuracy.amps_relative), fixed(ah, 2) + " Ah",
           sensitivity_text(0.01 * ah, "Ah/%")},
          {"ammeter offset", fixed(1000.0 * accuracy.amps_absolute.si(), 0) + " mA rect.",
           as_ampere_hours(rectangular(accuracy.amps_absolute) * lasted), "0 mA",
           sensitivity_text(as_hours(lasted), "Ah/A")}};
}

Finding charge_finding(Measurand measurand, Coulomb value, const char* method, const Moved& moved,
                       const MeterAccuracy& accuracy) {
  Finding finding;
  finding.measurand = measurand;
  finding.value = as_ampere_hours(value);
  finding.method = method;
  finding.conditions = "over " + fixed(as_hours(moved.lasted), 2) + " h";
  std::vector<BudgetLine> budget = charge_budget(finding.value, moved.lasted, accuracy);
  return with_budget(std::move(finding), std::move(budget));
}

/// The finding alone, with what ended the last step.
Findings ended_by(Finding finding, const Moved& moved) {
  finding.conditions += "; ended by: " + moved.steps.back().span.end;
  return {{std::move(finding)}, {}};
}

}  // namespace

Result<Findings> state_returned_charge(const FindingRequest& request) {
  auto moved = moved_in(request);
  if (!moved) return pass(moved);
  Findings findings;
  for (const MovedIn& step : moved->steps) {
    if (auto fault = fault_by_end(step)) {
      findings.faults.push_back(std::move(*fault));
    }
  }
  findings.findings.push_back(charge_finding(Measurand::returned, -moved->out,
                                             "integral of the charge current", *moved, request.accuracy));
  const MovedIn& last = moved->steps.back();
  if (auto full = moved->steps.size() == 1 ? time_to_full(last.span, last.samples, request.nameplate)
                                           : std::nullopt) {
    findings.findings.push_back(std::move(*full));
  }
  return findings;
}

Result<Findings> state_charge_acceptance(const FindingRequest& request) {
  auto moved = moved_in(request);
  if (!moved) return pass(moved);
  return ended_by(
      charge_finding(Measurand::accepted, -moved->out, "integral of the charge current of the first stage",
                     *moved, request.accuracy),
      *moved);
}

Result<Findings> state_delivered_charge(const FindingRequest& request) {
  auto moved = moved_in(request);
  if (!moved) return pass(moved);
  return ended_by(charge_finding(Measurand::delivered, moved->out, "integral of the current drawn", *moved,
                                 request.accuracy),
                  *moved);
}

}  // namespace leadwright
