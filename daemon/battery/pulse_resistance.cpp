// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/pulse_resistance.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "daemon/battery/trace_reading.h"
#include "daemon/battery/uncertainty.h"
#include "daemon/quantities/nearest_rank.h"

namespace leadwright {
namespace {

/// Share of the step within which a current is at its level (P).
constexpr double level_share = 0.05;
constexpr Ampere pulse_step_min{1.0};
/// P: later than this after an edge a sample no longer shows the instant part.
constexpr Second edge_gap_max{1.5};

double mean_of(const std::vector<double>& values) {
  double sum = 0.0;
  for (const double value : values) sum += value;
  return values.empty() ? 0.0 : sum / static_cast<double>(values.size());
}

/// Standard deviation of the mean; zero for fewer than two.
double u_of_mean(const std::vector<double>& values) {
  const auto n = static_cast<double>(values.size());
  if (n < 2.0) return 0.0;
  const double mean = mean_of(values);
  double squares = 0.0;
  for (const double value : values) squares += (value - mean) * (value - mean);
  return std::sqrt(squares / (n - 1.0) / n);
}

struct Levels {
  Ampere base;
  Ampere high;
};

Levels levels_of(std::span<const Sample> samples) {
  double lowest = 0.0;
  double highest = 0.0;
  bool any = false;
  for (const Sample& sample : samples) {
    if (!sample.amps) continue;
    lowest = any ? std::min(lowest, sample.amps->si()) : sample.amps->si();
    highest = any ? std::max(highest, sample.amps->si()) : sample.amps->si();
    any = true;
  }
  std::vector<double> low;
  std::vector<double> high;
  for (const Sample& sample : samples) {
    if (sample.amps) (sample.amps->si() < 0.5 * (lowest + highest) ? low : high).push_back(sample.amps->si());
  }
  const auto level = [](std::vector<double>&& amps) {
    return Ampere(amps.empty() ? 0.0 : middle_of(std::move(amps)));
  };
  return {level(std::move(low)), level(std::move(high))};
}

enum class At { base, high, between };

class Train {
 public:
  explicit Train(std::span<const Sample> samples) : levels_(levels_of(samples)) {
    const Sample* before = nullptr;
    const Sample* began = nullptr;
    for (const Sample& sample : samples) {
      if (!sample.amps || !sample.volts) continue;
      const At at = level(sample);
      if (at == At::between) continue;
      const bool is_edge = before != nullptr && level(*before) != at;
      if (is_edge && began != nullptr && at == At::base) end_pulse(*began, *before);
      if (is_edge) {
        began = nullptr;
        if (sample.at - before->at <= edge_gap_max) {
          add_edge(*before, sample);
          if (at == At::high) began = &sample;
        }
      }
      before = &sample;
    }
    if (began != nullptr && before != nullptr && before != began) end_pulse(*began, *before);
  }

  Ampere step() const { return levels_.high - levels_.base; }
  std::size_t pulses() const { return added_.size(); }

  PulseReading reading() const {
    return {levels_.base,
            levels_.high,
            Ohm(-products_ / squares_),
            Ohm(u_of_mean(instant_)),
            Ohm(mean_of(added_)),
            Ohm(u_of_mean(added_)),
            Second(middle_of(lateness_)),
            Second(middle_of(widths_)),
            instant_.size(),
            added_.size()};
  }

 private:
  At level(const Sample& sample) const {
    const Ampere near = step() * level_share;
    if (abs(*sample.amps - levels_.base) < near) return At::base;
    return abs(*sample.amps - levels_.high) < near ? At::high : At::between;
  }
  void add_edge(const Sample& before, const Sample& after) {
    const double volts = (*after.volts - *before.volts).si();
    const double amps = (*after.amps - *before.amps).si();
    products_ += volts * amps;
    squares_ += amps * amps;
    instant_.push_back(-volts / amps);
    lateness_.push_back((after.at - before.at).si());
  }
  void end_pulse(const Sample& first, const Sample& last) {
    added_.push_back((*first.volts - *last.volts).si() / step().si());
    widths_.push_back((last.at - first.at).si());
  }

  Levels levels_;
  double products_ = 0.0;
  double squares_ = 0.0;
  std::vector<double> instant_;
  std::vector<double> added_;
  std::vector<double> lateness_;
  std::vector<double> widths_;
};

}  // namespace

Result<PulseReading> pulse_reading(std::span<const Sample> samples) {
  const Train train(samples);
  if (train.step() < pulse_step_min) {
    return fail(Errc::unsupported, "the two currents lie less than 1 A apart", "resistance",
                "check the load's setting and the clamps");
  }
  if (train.pulses() < 2) {
    return fail(Errc::unsupported, "fewer than two pulses were read on both sides of their edges", "trace",
                "sample faster, or use two long draws (resistance)");
  }
  const PulseReading reading = train.reading();
  if (reading.instant <= Ohm(0.0)) {
    return fail(Errc::unsupported, "the voltage does not fall under the higher current", "resistance",
                "check the sense leads");
  }
  return reading;
}

Result<Findings> state_pulse_resistance(const FindingRequest& request) {
  if (request.of.size() != 1) {
    return fail(Errc::bad_input, "this resistance is made of one pulse train", "of", "name the pulse step");
  }
  auto span = span_named(*request.trace, request.of.front());
  if (!span) return pass(span);
  const auto samples = samples_of(*request.trace, *span);
  auto reading = pulse_reading(samples);
  if (!reading) return pass(reading);

  const MeterAccuracy& accuracy = request.accuracy;
  const double step = (reading->high - reading->base).si();
  const double digit = std::sqrt(2.0) * rectangular(0.5 * accuracy.volts_resolution.si()) / step;
  const auto lines = [&](Ohm value, Ohm spread, std::size_t count) {
    return std::vector<BudgetLine>{
        {"spread", "of the mean of " + std::to_string(count), spread.si(),
         fixed(1000.0 * value.si(), 3) + " mohm", "1 ohm/ohm"},
        {"voltmeter resolution", "rect.", digit / std::sqrt(static_cast<double>(count)), "",
         sensitivity_text(1.0 / step, "ohm/V")},
        {"voltmeter gain", fixed(100.0 * accuracy.volts_relative, 3) + " % rect.",
         std::abs(value.si()) * rectangular(accuracy.volts_relative), "all readings",
         sensitivity_text(0.01 * value.si(), "ohm/%")},
        {"ammeter gain", fixed(100.0 * accuracy.amps_relative, 3) + " % rect.",
         std::abs(value.si()) * rectangular(accuracy.amps_relative), "all readings",
         sensitivity_text(0.01 * value.si(), "ohm/%")}};
  };
  const auto temperature = median_temperature(samples);
  const std::string conditions =
      fixed(reading->base.si(), 1) + " A and " + fixed(reading->high.si(), 1) + " A, read " +
      fixed(1000.0 * reading->lateness.si(), 0) + " ms apart; " +
      (temperature ? fixed(temperature->degc(), 1) + " degC" : std::string("temperature unknown"));
  Finding instant;
  instant.measurand = Measurand::resistance;
  instant.value = reading->instant.si();
  instant.method = "edges of " + std::to_string(reading->pulses) + " pulses of direct current, instant part";
  instant.conditions = conditions;
  auto instant_lines = lines(reading->instant, reading->u_instant, reading->edges);
  // What polarisation the first sample after an edge has already seen.
  const double share = reading->width > Second(0.0) ? reading->lateness / reading->width : 0.0;
  instant_lines.push_back({"late first sample", fixed(1000.0 * reading->lateness.si(), 0) + " ms rect.",
                           rectangular(std::abs(reading->polarisation.si()) * std::min(1.0, share))});
  Finding added;
  added.measurand = Measurand::polarisation;
  added.value = reading->polarisation.si();
  added.method = "from the first to the last sample of a pulse, mean of " + std::to_string(reading->pulses);
  added.conditions = conditions + "; within " + fixed(reading->width.si(), 1) + " s";
  Findings findings;
  findings.findings.push_back(with_budget(std::move(instant), std::move(instant_lines)));
  findings.findings.push_back(
      with_budget(std::move(added), lines(reading->polarisation, reading->u_polarisation, reading->pulses)));
  return findings;
}

}  // namespace leadwright
