// SPDX-License-Identifier: Apache-2.0
// Open-circuit voltage, acid and state of charge. For rested batteries only: surface charge lies. Pure; any
// thread. Marks of the numbers (F found, P practice, M from memory) stand beside them in ocv.cpp.
#pragma once

#include <optional>

#include "daemon/battery/acid_reading.h"
#include "daemon/battery/nameplate.h"
#include "daemon/battery/trace_reading.h"
#include "protocol/result.h"

namespace leadwright {

/// Moles of acid per kilogram of water.
struct Molality {
  double mol_per_kg = 0.0;
};

/// Share of a full charge, 0..1, with its standard uncertainty. Pure numbers.
struct StateOfCharge {
  double share = 0.0;
  double u = 0.0;
};

/// A hydrometer's reading at an acid temperature, at 80 degF: +0.004 for each 10 degF above (F: service
/// manuals).
SpecificGravity at_80_fahrenheit(SpecificGravity reading, Celsius acid);

/// Voltage of one cell at rest near 25 degC: SG + 0.845 (M; F for 0.84). Good to 5 mV for SG 1.21..1.30.
Volt cell_volts(SpecificGravity gravity);

/// Voltage of one cell at rest at 25 degC after Bode (1977) as cited by PyBaMM, 0.5..6 mol/kg (F).
Volt cell_volts(Molality molality);

/// OCV referred to 25 degC: +0.2 mV/K for each cell (M).
Volt ocv_at_25_degc(Volt ocv, int cells, Celsius battery);

/// State of charge from a rested OCV with standard uncertainty `u`. Flooded and EFB by the acid's ladder, AGM
/// and gel by makers' tables with at least 10 points of uncertainty. Clipped to 0..1. Without a temperature
/// none is compensated and the uncertainty grows by 15 K. Fails with refused unless the chemistry is lead.
struct RestedOcv {
  Volt volts;
  Volt u;
  std::optional<Celsius> battery;
};
Result<StateOfCharge> state_of_charge(const Nameplate& nameplate, const RestedOcv& ocv);

/// Whether a rest span may be believed: it lasted 8 h (F: two makers), or at least 30 min and its last 30 min
/// slope less than 7.5 mV/h (P: 5 mV/h for grading, half as much again for the meter's noise).
bool is_rested(const Trace& trace, const Trace::StepSpan& rest);

}  // namespace leadwright
