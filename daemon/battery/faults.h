// SPDX-License-Identifier: Apache-2.0
// Faults that a voltage at rest and a light draw prove. Pure; any thread. Thresholds with their marks:
// faults.cpp.
#pragma once

#include <optional>
#include <vector>

#include "daemon/battery/findings.h"
#include "daemon/battery/resistance.h"

namespace leadwright {

/// A light draw of some 5 A for at least 30 s after the rest.
struct LightDraw {
  CurrentLevel end;  ///< at the end of the draw
  Volt lowest;       ///< at any moment of it
};

struct IntakeReadings {
  Volt open_circuit;
  bool rested = false;  ///< a stable rest came before; else surface charge may be there
  std::optional<LightDraw> draw;
};

/// Every fault that the readings prove for a battery with this label, most telling first; what would hide the
/// others (reversed, no voltage, wrong cell count) comes alone. ticket, run and at are left for the caller.
/// Without the draw a shorted cell and a broken connection are not proven.
std::vector<Fault> faults_of(const IntakeReadings& readings, const Nameplate& nameplate);

/// What a stable open-circuit voltage proves by itself: a pack that rests above 2.23 V a cell is not lead
/// (M).
std::optional<Fault> fault_at_rest(Volt open_circuit, int cells);

/// Findings ocv and temperature, and the faults, from `of` = the rest and, if there was one, the light draw.
Result<Findings> state_intake(const FindingRequest& request);

}  // namespace leadwright
