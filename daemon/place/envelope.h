// SPDX-License-Identifier: Apache-2.0
// The envelope: hard limits of a run, checked on every sample before anything else looks at it. Built from
// chemistry, nameplate, procedure and instruments; the tightest wins. Pure; any thread.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "daemon/battery/nameplate.h"
#include "daemon/battery/said.h"
#include "daemon/battery/sample.h"
#include "daemon/procedure/procedure.h"

namespace leadwright {

/// What is on at the place while a sample is taken.
enum class Energy { none, draw, charge };

struct Envelope {
  Volt volts_min{0.0};  ///< while drawing
  Volt volts_max{0.0};  ///< while charging
  Ampere amps_max{0.0};
  Celsius case_min{0.0};
  Celsius case_max{50.0};
  Coulomb charge_max{0.0};
  Second time_max{0.0};
};

/// What the place's instruments can take; absent where there is no such instrument.
struct InstrumentReach {
  std::optional<Ampere> load_amps_max;
  std::optional<Ampere> charger_amps_max;
  std::optional<Volt> charger_volts_max;
};

/// The tightest of all limits, for each frame of a procedure: of one that is called, its own limits and those
/// of all its callers. Limits of charge and time are the caller's alone: a called procedure is only a part of
/// the run. `values` are bound. Fails with bad_input if a limit needs a datum that the nameplate lacks, or if
/// nothing would be left between minimum and maximum.
Result<std::vector<Envelope>> envelopes_for(const Procedure& procedure, const Nameplate& nameplate,
                                            Values values, const InstrumentReach& reach);

/// The sentence that says which limit `sample` breaches, or nothing. A missing temperature does not breach:
/// staleness is watched apart (watch.h).
std::optional<Sentence> breach(const Envelope& envelope, const Sample& sample, Energy energy, Coulomb moved);

}  // namespace leadwright
