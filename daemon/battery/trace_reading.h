// SPDX-License-Identifier: Apache-2.0
// Reading a trace: spans by name, means, slopes, charge. A reading that is missing is left out where others
// carry the result, and is an error (unsupported) where they can't: it never counts as zero. Pure; any
// thread.
#pragma once

#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "daemon/battery/sample.h"
#include "protocol/result.h"

namespace leadwright {

/// The span of that name; not_found names it.
Result<Trace::StepSpan> span_named(const Trace& trace, std::string_view name);

/// All spans of one step: the first of that name, and those that continue it after an interruption. What lies
/// between them was not measured. not_found names it.
Result<std::vector<Trace::StepSpan>> parts_named(const Trace& trace, std::string_view name);

/// The samples of a span; empty if its indices lie outside the trace.
std::span<const Sample> samples_of(const Trace& trace, const Trace::StepSpan& span);

struct MeanVolts {
  Volt mean;
  Volt u;  ///< experimental standard deviation of the mean; zero for one reading
  std::size_t count = 0;
};

struct MeanAmps {
  Ampere mean;
  Ampere u;
  std::size_t count = 0;
};

/// Mean over the samples within `window` before the last sample. Fails with unsupported if the last sample's
/// reading is missing (the moment that counts), or if there is none at all.
Result<MeanVolts> last_volts(std::span<const Sample> samples, Second window);
Result<MeanAmps> last_amps(std::span<const Sample> samples, Second window);

/// Missing if no sample has a temperature.
std::optional<Celsius> first_temperature(std::span<const Sample> samples);
std::optional<Celsius> median_temperature(std::span<const Sample> samples);

/// Least-squares slope over the samples within `window` before the last one; missing with fewer than three
/// readings or less than half the window.
std::optional<VoltPerSecond> last_slope(std::span<const Sample> samples, Second window);

/// Integral of the current by trapezoids, positive out of the battery. Readings of `amps` that are missing
/// are bridged over at most three times the usual period and at most 30 s; a longer gap is unsupported.
Result<Coulomb> charge_of(std::span<const Sample> samples);

}  // namespace leadwright
