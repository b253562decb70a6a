// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/trace_reading.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "daemon/quantities/nearest_rank.h"

namespace leadwright {
namespace {

constexpr double gap_periods_max = 3.0;
constexpr Second gap_always_bridged{2.0};
constexpr Second gap_max{30.0};

struct Mean {
  double mean = 0.0;
  double u = 0.0;
  std::size_t count = 0;
};

template <class Q>
Result<Mean> last_mean(std::span<const Sample> samples, std::optional<Q> Sample::*member, Second window,
                       const char* what) {
  if (samples.empty())
    return fail(Errc::unsupported, std::string("no sample to read ") + what + " from", "trace");
  const Sample& last = samples.back();
  if (!(last.*member)) {
    return fail(Errc::unsupported, std::string(what) + " is missing at the end of the step", "trace",
                "run it again; check the instrument's leads");
  }
  double sum = 0.0;
  double squares = 0.0;
  std::size_t count = 0;
  const double base = (last.*member)->si();
  for (auto sample = samples.rbegin(); sample != samples.rend() && last.at - sample->at <= window; ++sample) {
    if (!((*sample).*member)) continue;
    const double offset = ((*sample).*member)->si() - base;
    sum += offset;
    squares += offset * offset;
    ++count;
  }
  const auto n = static_cast<double>(count);
  Mean result{base + sum / n, 0.0, count};
  if (count > 1) result.u = std::sqrt(std::max(0.0, squares - sum * sum / n) / (n - 1.0) / n);
  return result;
}

Second usual_period(std::span<const Sample> samples) {
  std::vector<double> periods;
  periods.reserve(samples.size());
  for (std::size_t i = 1; i < samples.size(); ++i)
    periods.push_back((samples[i].at - samples[i - 1].at).si());
  if (periods.empty()) return Second(0.0);
  const auto middle = periods.begin() + static_cast<std::ptrdiff_t>(periods.size() / 2);
  std::nth_element(periods.begin(), middle, periods.end());
  return Second(*middle);
}

}  // namespace

Result<Trace::StepSpan> span_named(const Trace& trace, std::string_view name) {
  for (const Trace::StepSpan& span : trace.steps)
    if (span.name == name) return span;
  return fail(Errc::not_found, "the trace has no step \"" + std::string(name) + "\"", "trace");
}

Result<std::vector<Trace::StepSpan>> parts_named(const Trace& trace, std::string_view name) {
  const auto first = span_named(trace, name);
  if (!first) return tl::unexpected<Error>(first.error());
  std::vector<Trace::StepSpan> parts{*first};
  for (const Trace::StepSpan& span : trace.steps)
    if (span.name == name && span.continues && span.first >= parts.back().last) parts.push_back(span);
  return parts;
}

std::span<const Sample> samples_of(const Trace& trace, const Trace::StepSpan& span) {
  if (span.first >= span.last || span.last > trace.samples.size()) return {};
  return std::span(trace.samples).subspan(span.first, span.last - span.first);
}

Result<MeanVolts> last_volts(std::span<const Sample> samples, Second window) {
  auto mean = last_mean(samples, &Sample::volts, window, "the voltage");
  if (!mean) return pass(mean);
  return MeanVolts{Volt(mean->mean), Volt(mean->u), mean->count};
}

Result<MeanAmps> last_amps(std::span<const Sample> samples, Second window) {
  auto mean = last_mean(samples, &Sample::amps, window, "the current");
  if (!mean) return pass(mean);
  return MeanAmps{Ampere(mean->mean), Ampere(mean->u), mean->count};
}

std::optional<Celsius> first_temperature(std::span<const Sample> samples) {
  for (const Sample& sample : samples)
    if (sample.temperature) return sample.temperature;
  return {};
}

std::optional<Celsius> median_temperature(std::span<const Sample> samples) {
  std::vector<Celsius> values;
  values.reserve(samples.size());
  for (const Sample& sample : samples)
    if (sample.temperature) values.push_back(*sample.temperature);
  if (values.empty()) return {};
  return middle_of(std::move(values));
}

std::optional<VoltPerSecond> last_slope(std::span<const Sample> samples, Second window) {
  if (samples.empty()) return {};
  const Sample& last = samples.back();
  double n = 0.0, sum_t = 0.0, sum_v = 0.0, sum_tt = 0.0, sum_tv = 0.0;
  double oldest = 0.0;
  double base = 0.0;
  for (auto sample = samples.rbegin(); sample != samples.rend() && last.at - sample->at <= window; ++sample) {
    if (!sample->volts) continue;
    if (n == 0.0) base = sample->volts->si();
    const double t = (sample->at - last.at).si();
    const double v = sample->volts->si() - base;
    n += 1.0;
    sum_t += t;
    sum_v += v;
    sum_tt += t * t;
    sum_tv += t * v;
    oldest = t;
  }
  const double spread = n * sum_tt - sum_t * sum_t;
  if (n < 3.0 || -oldest < 0.5 * window.si() || spread <= 0.0) return {};
  return VoltPerSecond((n * sum_tv - sum_t * sum_v) / spread);
}

Result<Coulomb> charge_of(std::span<const Sample> samples) {
  const Second usual = usual_period(samples);
  const Second longest = std::min(gap_max, std::max(gap_always_bridged, usual * gap_periods_max));
  const Sample* before = nullptr;
  bool missed = false;
  Coulomb charge{};
  for (const Sample& sample : samples) {
    if (!sample.amps) {
      missed = true;
      continue;
    }
    if (before != nullptr) {
      const Second gap = sample.at - before->at;
      if (missed && gap > longest) {
        return fail(Errc::unsupported,
                    "the current is missing for " + std::to_string(static_cast<int>(gap.si())) + " s",
                    "trace", "run it again; check the instrument's link");
      }
      charge += (*before->amps + *sample.amps) * 0.5 * gap;
    }
    before = &sample;
    missed = false;
  }
  const bool begins_missing = !samples.empty() && !samples.front().amps;
  if (before == nullptr || missed || begins_missing) {
    return fail(Errc::unsupported, "the current is missing at the start or the end of the step", "trace",
                "run it again; check the instrument's link");
  }
  return charge;
}

}  // namespace leadwright
