// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/findings.h"

#include <array>
#include <utility>

#include "daemon/battery/capacity_20h.h"
#include "daemon/battery/charge.h"
#include "daemon/battery/cranking_estimate.h"
#include "daemon/battery/faults.h"
#include "daemon/battery/half_cca.h"
#include "daemon/battery/new_battery.h"
#include "daemon/battery/ocv.h"
#include "daemon/battery/pulse_resistance.h"
#include "daemon/battery/reserve_capacity.h"
#include "daemon/battery/reserve_capacity_bounds.h"
#include "daemon/battery/resistance.h"
#include "daemon/battery/retention.h"
#include "daemon/battery/self_check.h"
#include "daemon/battery/three_minute_charge.h"
#include "daemon/battery/trace_reading.h"
#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

constexpr Second ocv_window{60.0};

/// A rest span read at its end.
struct RestReading {
  RestedOcv ocv;
  Volt u_noise;
  bool rested = false;
};

Result<RestReading> rest_reading(const FindingRequest& request) {
  if (request.of.size() != 1)
    return fail(Errc::bad_input, "this finding is made of one rest", "of", "name the rest");
  const auto parts = parts_named(*request.trace, request.of.front());
  if (!parts) return tl::unexpected<Error>(parts.error());
  // Of a rest that was interrupted the last part is the one that was watched until its end.
  const Trace::StepSpan& span = parts->back();
  const auto samples = samples_of(*request.trace, span);
  auto volts = last_volts(samples, ocv_window);
  if (!volts) return pass(volts);
  return RestReading{{volts->mean, u_of(volts->mean, request.accuracy), median_temperature(samples)},
                     volts->u,
                     request.rested || is_rested(*request.trace, span)};
}

std::string conditions_of(const RestReading& reading) {
  const auto& temperature = reading.ocv.battery;
  return std::string(reading.rested ? "rested" : "not rested, surface charge possible") + "; " +
         (temperature ? fixed(temperature->degc(), 1) + " degC" : "temperature not measured");
}

Result<Findings> state_ocv(const FindingRequest& request) {
  auto reading = rest_reading(request);
  if (!reading) return pass(reading);
  Finding finding;
  finding.measurand = Measurand::ocv;
  finding.value = reading->ocv.volts.si();
  finding.method = "mean of the last minute of the rest";
  finding.conditions = conditions_of(*reading);
  Findings findings;
  if (reading->rested) {
    if (auto fault = fault_at_rest(reading->ocv.volts, request.nameplate.cells)) {
      findings.faults.push_back(std::move(*fault));
    }
  }
  findings.findings.push_back(with_budget(
      std::move(finding), {{"voltmeter", fixed(1000.0 * reading->ocv.u.si(), 1) + " mV by its profile",
                            reading->ocv.u.si(), fixed(reading->ocv.volts.si(), 3) + " V", "1 V/V"},
                           {"noise", fixed(1000.0 * reading->u_noise.si(), 2) + " mV of the mean",
                            reading->u_noise.si(), "", "1 V/V"}}));
  return findings;
}

Result<Findings> state_soc(const FindingRequest& request) {
  auto reading = rest_reading(request);
  if (!reading) return pass(reading);
  if (!reading->rested) {
    return fail(Errc::unsupported, "the battery was not at rest, so its voltage tells no state of charge",
                "trace", "let it rest until its voltage is stable");
  }
  auto soc = state_of_charge(request.nameplate, reading->ocv);
  if (!soc) return pass(soc);
  Finding finding;
  finding.measurand = Measurand::soc;
  finding.value = soc->share;
  finding.method =
      std::string("open-circuit voltage at rest, table for ") + word(request.nameplate.chemistry);
  finding.conditions = conditions_of(*reading) + "; referred to 25 degC";
  Findings findings;
  findings.findings.push_back(
      with_budget(std::move(finding), {{"table and voltage", "makers differ; voltmeter", soc->u,
                                        fixed(reading->ocv.volts.si(), 3) + " V", "by the table"}}));
  return findings;
}

using Calculation = Result<Findings> (*)(const FindingRequest&);

constexpr std::array<std::pair<std::string_view, Calculation>, 17> calculations{{
    {"intake", state_intake},
    {"ocv", state_ocv},
    {"soc", state_soc},
    {"resistance", state_resistance},
    {"reserve_capacity", state_reserve_capacity},
    {"returned_charge", state_returned_charge},
    {"delivered_charge", state_delivered_charge},
    {"charge_acceptance", state_charge_acceptance},
    {"half_cca_load", state_half_cca_load},
    {"pulse_resistance", state_pulse_resistance},
    {"cranking_estimate", state_cranking_estimate},
    {"capacity_20h", state_capacity_20h},
    {"retention", state_retention},
    {"three_minute_charge", state_three_minute_charge},
    {"self_check", state_self_check},
    {"new_battery", state_new_battery},
    {"reserve_capacity_bounds", state_reserve_capacity_bounds},
}};

}  // namespace

bool is_calculation(std::string_view name) {
  for (const auto& [known, calculation] : calculations)
    if (known == name) return true;
  return false;
}

std::string calculation_names() {
  std::string names;
  for (const auto& [known, calculation] : calculations) {
    names.append(names.empty() ? "" : ", ").append(known);
  }
  return names;
}

Result<Findings> state(const FindingRequest& request) {
  if (request.trace == nullptr) return fail(Errc::bug, "no trace was given", "findings");
  for (const auto& [known, calculation] : calculations)
    if (known == request.calculation) return calculation(request);
  return fail(Errc::bad_input, "there is no calculation \"" + std::string(request.calculation) + "\"",
              "finding", "one of " + calculation_names());
}

}  // namespace leadwright
