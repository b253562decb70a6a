// SPDX-License-Identifier: Apache-2.0
// What a lead chemistry may be given: the charge limit at a temperature, and the hard limits of the envelope.
// Pure; any thread. Sources: shared domain notes, section 7 (F found in public text, P common practice, M
// from memory); each figure carries its mark in chemistry_limits.cpp.
#pragma once

#include "daemon/battery/nameplate.h"
#include "protocol/result.h"

namespace leadwright {

/// Charge voltage limit of the whole battery at a case temperature: 14.4 V for six flooded, EFB or AGM cells
/// and 14.1 V for gel at 25 degC, -3 mV/K for each cell, gel never above 2.38 V a cell. A kind that nobody
/// knows counts as gel. Temperatures outside 0..50 degC count as the nearer end. Fails with refused unless
/// the chemistry is lead, with bad_input unless cells is 3 or 6.
Result<Volt> charge_limit(Chemistry chemistry, int cells, Celsius case_temperature);

/// Hard limits of a run: a sample beyond any of them trips.
struct EnvelopeOfChemistry {
  Volt volts_max;    ///< charging
  Volt volts_min;    ///< drawing
  Celsius case_min;  ///< charging: discharged acid freezes at -9 degC and a frozen battery bursts
  Celsius case_max;
};

/// 2.70 V a cell for flooded and EFB, 2.50 for AGM, 2.40 for gel and what counts as gel; 1.50 V a cell;
/// 0..50 degC. Fails as above.
Result<EnvelopeOfChemistry> envelope_of(Chemistry chemistry, int cells);

}  // namespace leadwright
