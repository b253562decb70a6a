// SPDX-License-Identifier: Apache-2.0
// The load test at half the CCA, or at what stands for it where the label states none: the voltage at 15 s
// against the least that its temperature allows. Pure; any thread. Shared domain notes, section 4; each
// figure carries its mark in half_cca.cpp.
#pragma once

#include <optional>

#include "daemon/battery/findings.h"

namespace leadwright {

/// What a load test draws.
struct CrankingLoad {
  Ampere amps;
  bool is_by_capacity = false;  ///< the label states no CCA
};
/// Half the CCA of the label; where it states none, 3 A for each Ah of its 20-hour capacity (F). Missing
/// where it states neither.
std::optional<CrankingLoad> cranking_load(const Nameplate& nameplate);
/// "half the CCA" or "3 A for each Ah", as findings and verdicts call it.
const char* words_of_load(bool is_by_capacity);
/// The same of a load test that was stated.
bool is_load_by_capacity(const Finding& load);

/// Least voltage of a sound battery at 15 s under its cranking load: 9.6 V from 70 degF up, 8.5 V at 0 degF
/// for six cells, half of that for three; linear in degF between the rows. Missing below 0 degF, where the
/// table ends: such a battery can't be judged.
std::optional<Volt> half_cca_minimum(Celsius battery, int cells);

/// The voltage that `rest` and `loaded` at a smaller current would give at `wanted`: V0 - R I, with R from
/// the same two. Polarisation grows more slowly than current, so it reads low.
Volt extrapolated(Volt rest, Volt loaded, double factor);

/// Whether a load test was extrapolated from a smaller draw: an opinion, no test at cranking load.
bool is_load_estimate(const Finding& load);

/// Says in the finding that a person had set both clamps anew before it, so that what is missing is the
/// battery's.
void mark_reseated(Finding& finding);
bool followed_reseating(const Finding& finding);

/// Findings load_volts and load_margin (if the temperature allows a judgement) from `of` = a rest and the
/// draw. A draw of less than 95 % of the cranking load gives an estimate, and its method says so. A draw that
/// ended early because the voltage did not hold gives the last voltage, which is more than would have been at
/// 15 s, and only if that is below the least already. Fails with unsupported without a CCA or a C20 on
/// the label, or without a reading at 15 s.
Result<Findings> state_half_cca_load(const FindingRequest& request);

}  // namespace leadwright
