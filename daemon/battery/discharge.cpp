// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/discharge.h"

#include <algorithm>
#include <cmath>
#include <span>

#include "daemon/battery/trace_reading.h"
#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

constexpr double full_current_tolerance = 0.02;
constexpr Second slope_window{60.0};
constexpr Second current_missing_max{30.0};
const double root_12 = std::sqrt(12.0);

using Samples = std::span<const Sample>;

/// Where the voltage passed the cut-off: between samples `above` and the moment `after`.
struct Crossing {
  std::size_t above = 0;
  Second at;
  Second u;
  VoltPerSecond slope;
  bool by_instrument = false;
};

bool is_full(const Sample& sample, const DrawTarget& target) {
  return sample.amps && *sample.amps >= target.full * (1.0 - full_current_tolerance);
}

tl::unexpected<Error> missing_at_crossing() {
  return fail(Errc::unsupported, "the voltage is missing where the cut-off was crossed", "trace",
              "run it again; check the sense leads");
}

std::optional<VoltPerSecond> slope_of(Samples samples) {
  if (auto fitted = last_slope(samples, slope_window); fitted && *fitted < VoltPerSecond(0.0)) return fitted;
  const Sample* later = nullptr;
  for (auto sample = samples.rbegin(); sample != samples.rend(); ++sample) {
    if (!sample->volts) continue;
    if (later == nullptr) {
      later = &*sample;
    } else if (*sample->volts > *later->volts && later->at > sample->at) {
      return (*later->volts - *sample->volts) / (later->at - sample->at);
    }
  }
  return {};
}

Result<Crossing> between(Samples samples, std::size_t above, std::size_t below, const DrawTarget& target) {
  const Sample& high = samples[above];
  const Sample& low = samples[below];
  const Second gap = low.at - high.at;
  const double share = (*high.volts - target.cutoff).si() / (*high.volts - *low.volts).si();
  const auto slope = slope_of(samples.first(below + 1));
  if (!slope) return fail(Errc::unsupported, "too few readings before the cut-off", "trace", "sample faster");
  // A straight line between two samples: a quarter of their distance is the half-width of what it can miss
  // (P).
  return Crossing{above, high.at + gap * share, rectangular(gap * 0.25), *slope, false};
}

Result<Crossing> at_instrument_cutoff(const Trace& trace, const Trace::StepSpan& draw,
                                      const DrawTarget& target) {
  const Samples samples = samples_of(trace, draw);
  std::size_t above = samples.size();
  for (std::size_t i = samples.size(); i-- > 0 && above == samples.size();) {
    if (samples[i].volts && *samples[i].volts > target.cutoff && is_full(samples[i], target)) above = i;
  }
  if (above == samples.size()) {
    return fail(Errc::unsupported, "no sample at full current before the load's own cut-off", "trace",
                "run it again");
  }
  const std::size_t next = draw.first + above + 1;
  const bool has_next = next < trace.samples.size();
  if (has_next && !trace.samples[next].volts) return missing_at_crossing();
  const Second after = has_next ? trace.samples[next].at : draw.ended_at;
  const Second before = samples[above].at;
  const auto slope = slope_of(samples.first(above + 1));
  if (!slope) return fail(Errc::unsupported, "too few readings before the cut-off", "trace", "sample faster");
  return Crossing{above, before + (after - before) * 0.5, (after - before) / root_12, *slope, true};
}

/// One reading alone proves no crossing, since a line may flip a digit: the next one must be below as well,
/// or the load must have gone off, or there must be no next one.
bool is_confirmed(Samples samples, std::size_t below, const DrawTarget& target) {
  for (std::size_t i = below + 1; i < samples.size(); ++i) {
    if (!samples[i].volts) continue;
    return *samples[i].volts <= target.cutoff || !is_full(samples[i], target);
  }
  return true;
}

Result<Crossing> crossing_of(const Trace& trace, const Trace::StepSpan& draw, const DrawTarget& target) {
  const Samples samples = samples_of(trace, draw);
  std::optional<std::size_t> above;
  bool missed = false;
  for (std::size_t i = 0; i < samples.size(); ++i) {
    if (!samples[i].volts) {
      missed = true;
      continue;
    }
    if (*samples[i].volts > target.cutoff) {
      above = i;
      missed = false;
      continue;
    }
    if (!is_confirmed(samples, i, target)) continue;
    if (!above)
      return fail(Errc::unsupported, "the draw began below the cut-off", "trace", "charge and rest it first");
    if (missed) return missing_at_crossing();
    const bool was_full = is_full(samples[*above], target);
    if (was_full && samples[i].amps && !is_full(samples[i], target)) {
      return fail(Errc::unsupported, "the current was off where the cut-off was crossed", "trace",
                  "check the clamps, then run it again");
    }
    return between(samples, *above, i, target);
  }
  if (draw.end == "instrument cut-off") return at_instrument_cutoff(trace, draw, target);
  if (missed) return missing_at_crossing();
  return fail(Errc::unsupported, "the cut-off was not reached (the step ended by: " + draw.end + ")", "trace",
              "run it again to the end");
}

/// Checks the current from the first full sample to the crossing, and gives its mean.
Result<Ampere> mean_current(Samples full, const DrawTarget& target) {
  std::size_t last = 0;
  for (std::size_t i = 0; i < full.size(); ++i) {
    if (!full[i].amps) continue;
    last = i;
    if (abs(*full[i].amps - target.full) > target.full * full_current_tolerance) {
      return fail(Errc::unsupported,
                  "the current was " + fixed(full[i].amps->si(), 2) + " A at " + fixed(full[i].at.si(), 0) +
                      " s instead of " + fixed(target.full.si(), 2) + " A",
                  "trace", "check the load, then run it again");
    }
  }
  if (full.back().at - full[last].at > current_missing_max) {
    return fail(Errc::unsupported, "the current is missing before the cut-off", "trace",
                "check the load's link");
  }
  if (last == 0) return *full.front().amps;
  auto charge = charge_of(full.first(last + 1));
  if (!charge) return pass(charge);
  return *charge / (full[last].at - full.front().at);
}

Result<Discharge> until(const Crossing& crossing, Samples samples, const Trace::StepSpan& draw,
                        const DrawTarget& target) {
  Discharge result;
  result.slope = crossing.slope;
  result.u_crossing = crossing.u;
  result.by_instrument = crossing.by_instrument;
  const Samples before = samples.first(crossing.above + 1);
  result.temperature_initial = first_temperature(before);
  result.temperature_median = median_temperature(before);

  const auto first_full = static_cast<std::size_t>(
      std::find_if(before.begin(), before.end(), [&](const Sample& s) { return is_full(s, target); }) -
      before.begin());
  const bool reached_full = first_full < before.size();
  const Samples ramp = before.first(reached_full ? first_full + 1 : before.size());
  auto ramp_charge = charge_of(ramp);
  if (!ramp_charge) return pass(ramp_charge);
  const Second lead_in = std::max(Second(0.0), ramp.front().at - draw.started_at);
  result.ramp = *ramp_charge + *ramp.front().amps * 0.5 * lead_in;
  if (!reached_full) {
    result.ramp += *ramp.back().amps * (crossing.at - ramp.back().at);
    result.mean_at_full = target.full;
    return result;
  }

  auto mean = mean_current(before.subspan(first_full), target);
  if (!mean) return pass(mean);
  result.mean_at_full = *mean;
  result.at_full = crossing.at - before[first_full].at;
  // The switch lay anywhere between two samples; the trapezoid took the middle.
  const Second switch_gap = first_full > 0 ? before[first_full].at - before[first_full - 1].at : lead_in;
  const Ampere switch_step =
      first_full > 0 ? *before[first_full].amps - before[first_full - 1].amps.value_or(Ampere(0.0))
                     : *before[first_full].amps;
  result.u_start = switch_gap * (switch_step / target.full) / root_12;
  return result;
}

}  // namespace

Result<Discharge> discharge_of(const Trace& trace, const Trace::StepSpan& draw, const DrawTarget& target) {
  const Samples samples = samples_of(trace, draw);
  if (samples.empty()) return fail(Errc::unsupported, "the draw has no samples", "trace", "run it again");
  auto crossing = crossing_of(trace, draw, target);
  if (!crossing) return pass(crossing);
  return until(*crossing, samples, draw, target);
}

Result<Discharge> discharge_so_far(const Trace& trace, const Trace::StepSpan& draw,
                                   const DrawTarget& target) {
  const Samples samples = samples_of(trace, draw);
  std::optional<std::size_t> last;
  for (std::size_t i = 0; i < samples.size(); ++i) {
    if (!samples[i].volts) continue;
    if (*samples[i].volts <= target.cutoff && is_confirmed(samples, i, target)) {
      return fail(Errc::unsupported, "the cut-off was crossed, so this is no draw that was stopped early",
                  "trace", "state its reserve capacity");
    }
    if (*samples[i].volts > target.cutoff && is_full(samples[i], target)) last = i;
  }
  if (!last)
    return fail(Errc::unsupported, "the draw never reached its full current", "trace", "run it again");
  const VoltPerSecond slope = slope_of(samples.first(*last + 1)).value_or(VoltPerSecond(0.0));
  return until({*last, samples[*last].at, Second(0.0), slope, false}, samples, draw, target);
}

}  // namespace leadwright
