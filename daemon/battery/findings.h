// SPDX-License-Identifier: Apache-2.0
// From samples to findings: each calculation takes the spans of a trace that a procedure's `state` step
// names, and gives findings with their uncertainty budget, and faults with their evidence. Pure; any thread.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "daemon/battery/acid_settings.h"
#include "daemon/battery/forecast_settings.h"
#include "daemon/battery/nameplate.h"
#include "daemon/battery/sample.h"
#include "daemon/battery/ticket.h"
#include "protocol/result.h"

namespace leadwright {

/// Half-widths (rectangular) of the meters that made the trace, from the profiles.
struct MeterAccuracy {
  double volts_relative = 0.0005;
  Volt volts_absolute{0.010};
  Volt volts_resolution{0.001};
  double amps_relative = 0.001;
  Ampere amps_absolute{0.020};
  Ampere amps_resolution{0.001};
  Kelvin temperature_absolute{1.0};
};

/// What the estimator believes without having measured it; config/estimator.toml gives each value its mark.
struct EstimatorSettings {
  double rc_temperature_coefficient_per_k = 0.009;    ///< M: from memory of the standards
  double u_rc_temperature_coefficient_per_k = 0.001;  ///< F: spread of published tables, domain.md section 1
  double peukert = 1.2;                               ///< F: usual range 1.1-1.3
  double u_peukert = 0.06;                            ///< C: that range, rectangular
  double u_battery_repeatability = 0.03;              ///< M: run-to-run, relative, standard uncertainty
  Kelvin u_case_to_electrolyte{1.0};                  ///< P: common practice, no source
  double usual_cca_per_ah = 10.7;                     ///< P: where a label states none
  ForecastSettings forecast;
  AcidSettings acid;
};

struct DesignCurve;

struct FindingRequest {
  /// One of calculation_names(). Each is described where it is computed: faults.h, findings.cpp,
  /// resistance.h, reserve_capacity.h, charge.h, half_cca.h, pulse_resistance.h, cranking_estimate.h,
  /// capacity_20h.h, retention.h, three_minute_charge.h, self_check.h, new_battery.h,
  /// reserve_capacity_bounds.h.
  std::string_view calculation;
  const Trace* trace = nullptr;
  std::vector<std::string> of;  ///< names of the spans
  Nameplate nameplate;
  MeterAccuracy accuracy;
  EstimatorSettings settings;
  bool rested = false;                  ///< the ticket's rest was stable before this run
  const DesignCurve* design = nullptr;  ///< as-new curve of the battery's design, if the bench knows it
};

struct Findings {
  std::vector<Finding> findings;  ///< ticket, run and at are left for the caller
  std::vector<Fault> faults;
};

/// Whether `state` knows this calculation.
bool is_calculation(std::string_view name);
/// All that it knows: "intake, ocv, ...".
std::string calculation_names();

/// Fails with bad_input for an unknown calculation, with unsupported if the trace can't support it (a missing
/// reading at the moment that counts, no crossing of the cut-off).
Result<Findings> state(const FindingRequest& request);

}  // namespace leadwright
