// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/design_curve.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace leadwright {
namespace {

constexpr Second settled_after = minutes(1.0);
constexpr Second shortest_trace = minutes(10.0);
constexpr double longest_gap_share = 0.02;
constexpr double pieces = static_cast<double>(DesignCurve::knots - 1);

/// Volts at a time between the samples around it; `from` is where the search goes on.
Result<Volt> volts_at(const DesignTrace& trace, Second at, std::size_t& from) {
  const auto& samples = trace.samples;
  const Sample* before = nullptr;
  for (; from < samples.size(); ++from) {
    const Sample& sample = samples[from];
    if (!sample.volts) continue;
    if (sample.at < at) {
      before = &sample;
      continue;
    }
    if (before == nullptr && from > 0) {
      for (std::size_t back = from; back-- > 0 && before == nullptr;)
        if (samples[back].volts) before = &samples[back];
    }
    if (before == nullptr || sample.at <= before->at) return *sample.volts;
    const Second gap = sample.at - before->at;
    if (gap > longest_gap_share * trace.at_full + Second(2.0)) break;
    const double share = (at - before->at) / gap;
    return *before->volts + (*sample.volts - *before->volts) * share;
  }
  return fail(Errc::unsupported, fmt::format("no voltage around {:.0f} s", at.si()), "trace of the design",
              "leave this run out");
}

}  // namespace

DesignCurve::Point DesignCurve::at(double share) const {
  const double position = share * pieces;
  const auto piece = static_cast<std::size_t>(std::clamp(std::floor(position), 0.0, pieces - 1.0));
  const Volt fall = cell[piece + 1] - cell[piece];
  return {cell[piece] + fall * (position - static_cast<double>(piece)), fall * pieces};
}

std::optional<DesignKey> design_of(const Nameplate& nameplate) {
  if (nameplate.size_code.empty() || !nameplate.reserve_capacity) return {};
  if (nameplate.chemistry == Chemistry::lead) return {};
  return DesignKey{nameplate.size_code, nameplate.chemistry, nameplate.reserve_capacity->value};
}

Result<DesignCurve> shape_of(const DesignTrace& trace) {
  if (trace.at_full < shortest_trace || trace.cells <= 0) {
    return fail(Errc::unsupported, "the discharge is too short to show the shape of its design",
                "trace of the design");
  }
  DesignCurve curve;
  curve.batteries = 1;
  curve.time = trace.at_full;
  std::size_t from = 0;
  std::size_t settled = 0;
  for (std::size_t knot = 0; knot < DesignCurve::knots - 1; ++knot) {
    const Second since = trace.at_full * (static_cast<double>(knot) / pieces);
    if (since < settled_after) {
      settled = knot + 1;
      continue;
    }
    auto volts = volts_at(trace, trace.full_from + since, from);
    if (!volts) return pass(volts);
    curve.cell[knot] = *volts / static_cast<double>(trace.cells);
    if (from > 0) --from;
  }
  curve.cell.back() = trace.cell_cutoff;
  const Volt fall = curve.cell[settled + 1] - curve.cell[settled];
  for (std::size_t knot = settled; knot-- > 0;) curve.cell[knot] = curve.cell[knot + 1] - fall;
  return curve;
}

Result<DesignCurve> learn_design(const DesignKey& key, int version, std::span<const DesignTrace> traces) {
  if (traces.size() < static_cast<std::size_t>(DesignCurve::batteries_min)) {
    return fail(Errc::unsupported,
                fmt::format("{} sound batteries of this design are too few to learn from: it takes {}",
                            traces.size(), DesignCurve::batteries_min),
                key.size_code);
  }
  DesignCurve mean;
  double squares = 0.0;
  const auto count = static_cast<double>(traces.size());
  for (const DesignTrace& trace : traces) {
    auto shape = shape_of(trace);
    if (!shape) return pass(shape);
    for (std::size_t knot = 0; knot < DesignCurve::knots; ++knot)
      mean.cell[knot] += shape->cell[knot] / count;
    mean.time += shape->time / count;
  }
  for (const DesignTrace& trace : traces) {
    const double off = trace.at_full / mean.time - 1.0;
    squares += off * off;
  }
  mean.key = key;
  mean.version = version;
  mean.batteries = static_cast<int>(traces.size());
  mean.time_spread = std::sqrt(squares / (count - 1.0));
  return mean;
}

}  // namespace leadwright
