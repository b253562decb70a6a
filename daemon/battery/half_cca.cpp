// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/half_cca.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "daemon/battery/load_margin.h"
#include "daemon/battery/trace_reading.h"
#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

struct LoadRow {
  double fahrenheit;
  double volts;
};
/// F: TM 5-4210-230-14&P-1, table 5, six cells; the Fahrenheit column is exact. Linear between its rows: P.
constexpr std::array<LoadRow, 8> load_rows{
    {{0, 8.5}, {10, 8.7}, {20, 8.9}, {30, 9.1}, {40, 9.3}, {50, 9.4}, {60, 9.5}, {70, 9.6}}};
/// F: read at 15 s under load.
constexpr Second load_read_at{15.0};
/// P: a reading nearer than this on both sides of 15 s is one at 15 s.
constexpr Second load_gap_max{2.0};
constexpr Second load_rest_window{10.0};
constexpr double load_full_share = 0.98;
/// F: half the CCA, or three amperes for each ampere-hour where none is stated (shared domain notes, section
/// 4).
constexpr double cranking_share = 0.5;
constexpr double amps_per_ah = 3.0;
/// P: below this share of the cranking load it is an estimate.
constexpr double load_measured_share = 0.95;
/// M: what an extrapolated drop may be off, standard uncertainty: a part of it is polarisation, which grows
/// with the logarithm of the current.
constexpr double u_extrapolation = 0.15;
constexpr std::string_view half_words = "half the CCA";
constexpr std::string_view capacity_words = "3 A for each Ah";
constexpr std::string_view estimate_words = "estimated for ";
constexpr std::string_view reseated_words = "; both clamps set anew before it";

bool says(const std::string& text, std::string_view what) {
  return text.find(what) != std::string::npos;
}

/// Mean slope over the last 5 s at full current; zero if there are too few readings.
VoltPerSecond end_slope(std::span<const Sample> full) {
  return last_slope(full, Second(5.0)).value_or(VoltPerSecond(0.0));
}

Result<LoadedReading> loaded_reading(const Trace& trace, const std::string& name) {
  auto span = span_named(trace, name);
  if (!span) return pass(span);
  const auto samples = samples_of(trace, *span);
  Ampere most{0.0};
  for (const Sample& sample : samples) most = std::max(most, sample.amps.value_or(most));
  const auto is_full = [most](const Sample& sample) {
    return sample.amps && *sample.amps >= most * load_full_share;
  };
  const auto first = std::find_if(samples.begin(), samples.end(), is_full);
  if (first == samples.end() || most <= Ampere(0.0)) {
    return fail(Errc::unsupported, "no current was drawn in \"" + name + "\"", "trace", "run it again");
  }
  LoadedReading reading;
  reading.temperature = median_temperature(samples);
  const Sample* before = nullptr;
  std::size_t count = 0;
  for (auto sample = first; sample != samples.end() && is_full(*sample); ++sample) {
    ++count;
    if (!sample->volts) continue;
    const Second after = sample->at - first->at;
    const auto full = std::span(&*first, count);
    if (before != nullptr && after >= load_read_at) {
      const Second gap = sample->at - before->at;
      if (gap > load_gap_max) break;
      const double share = (first->at + load_read_at - before->at) / gap;
      reading.volts = *before->volts + (*sample->volts - *before->volts) * share;
      reading.amps = *before->amps + (*sample->amps - *before->amps) * share;
      reading.after = load_read_at;
      reading.slope = end_slope(full);
      return reading;
    }
    before = &*sample;
    reading.volts = *sample->volts;
    reading.amps = *sample->amps;
    reading.after = after;
    reading.slope = end_slope(full);
  }
  // Only a step that was ended by its voltage says anything without a reading at 15 s.
  reading.ended_early = true;
  if (before == nullptr || span->end.empty() || span->end == "time") {
    return fail(Errc::unsupported, "there is no reading at 15 s under load", "trace",
                "run it again; check the instrument's link");
  }
  return reading;
}

std::string temperature_words(const LoadedReading& reading) {
  return reading.temperature ? fixed(reading.temperature->degc(), 1) + " degC" : "temperature not measured";
}

Result<LoadTest> load_test_of(const FindingRequest& request) {
  auto span = span_named(*request.trace, request.of[0]);
  if (!span) return pass(span);
  auto rest = last_volts(samples_of(*request.trace, *span), load_rest_window);
  if (!rest) return pass(rest);
  auto loaded = loaded_reading(*request.trace, request.of[1]);
  if (!loaded) return pass(loaded);
  LoadTest test{*rest, *loaded, *cranking_load(request.nameplate), loaded->volts};
  test.estimated = test.factor() > 1.0 / load_measured_share;
  if (test.estimated) test.volts = extrapolated(rest->mean, loaded->volts, test.factor());
  return test;
}

std::vector<BudgetLine> load_budget(const LoadTest& test, const MeterAccuracy& accuracy) {
  const double drop = test.drop().si();
  const double noise = std::hypot(rectangular(0.5 * accuracy.volts_resolution.si()), test.rest.u.si());
  const double off = test.estimated ? 0.0 : drop * std::abs(test.factor() - 1.0);
  const Ampere amps = test.loaded.amps;
  std::vector<BudgetLine> budget{
      {"voltmeter", "by its profile", u_of(test.volts, accuracy).si(), fixed(test.volts.si(), 3) + " V",
       "1 V/V"},
      {"noise and resolution", fixed(1000.0 * noise, 2) + " mV",
       noise * (test.estimated ? std::sqrt(2.0) * test.factor() : 1.0), "",
       sensitivity_text(test.estimated ? std::sqrt(2.0) * test.factor() : 1.0, "V/V")},
      {"moment of reading", "0.3 s rect.", std::abs(test.loaded.slope.si()) * rectangular(0.3) * test.reach(),
       fixed(test.loaded.after.si(), 1) + " s",
       sensitivity_text(test.loaded.slope.si() * test.reach(), "V/s")},
      {"current",
       fixed(u_of(amps, accuracy).si(), 2) + " A, and off " + fixed(test.wanted.amps.si(), 1) + " A",
       drop * test.reach() * (u_of(amps, accuracy) / amps) + off, fixed(amps.si(), 1) + " A",
       sensitivity_text(drop * test.reach() / amps.si(), "V/A")}};
  if (test.estimated) {
    budget.push_back({"extrapolation", "15 % of the added drop, from memory",
                      u_extrapolation * drop * (test.factor() - 1.0),
                      fixed(drop * (test.factor() - 1.0), 2) + " V", "1 V/V"});
  }
  return budget;
}

Finding load_finding(const LoadTest& test) {
  const LoadedReading& loaded = test.loaded;
  Finding finding;
  finding.measurand = Measurand::load_volts;
  finding.value = test.volts.si();
  const std::string load = words_of_load(test.wanted.is_by_capacity);
  finding.method = test.estimated ? std::string(estimate_words) + load + " as V0 - R I, R from " +
                                        fixed(loaded.amps.si(), 1) + " A of the same trace"
                                  : "voltage at 15 s under " + load;
  if (test.wanted.is_by_capacity) finding.method.append(", as its label states no CCA");
  if (loaded.ended_early) {
    finding.method.append("; the draw ended after ")
        .append(fixed(loaded.after.si(), 1))
        .append(" s because the voltage did not hold, so less would have been left at 15 s");
  }
  finding.conditions = fixed(test.wanted.amps.si(), 1) + " A wanted, " + fixed(loaded.amps.si(), 1) +
                       " A drawn; from " + fixed(test.rest.mean.si(), 3) + " V; " + temperature_words(loaded);
  return finding;
}

}  // namespace

std::optional<Volt> half_cca_minimum(Celsius battery, int cells) {
  // A table in whole degrees is not left by the rounding of a conversion.
  const double f = std::round(battery.fahrenheit() * 1e6) / 1e6;
  if (f < load_rows.front().fahrenheit) return std::nullopt;
  double volts = load_rows.back().volts;
  for (std::size_t i = 1; i < load_rows.size(); ++i) {
    const LoadRow& low = load_rows[i - 1];
    const LoadRow& high = load_rows[i];
    if (f >= high.fahrenheit) continue;
    volts = low.volts + (high.volts - low.volts) * (f - low.fahrenheit) / (high.fahrenheit - low.fahrenheit);
    break;
  }
  return Volt(volts * cells / 6.0);
}

std::optional<CrankingLoad> cranking_load(const Nameplate& nameplate) {
  if (nameplate.cca) return CrankingLoad{nameplate.cca->value * cranking_share};
  if (nameplate.c20) return CrankingLoad{Ampere(amps_per_ah * as_ampere_hours(nameplate.c20->value)), true};
  return std::nullopt;
}

const char* words_of_load(bool is_by_capacity) {
  return (is_by_capacity ? capacity_words : half_words).data();
}

bool is_load_by_capacity(const Finding& load) {
  return says(load.method, capacity_words);
}

bool is_load_estimate(const Finding& load) {
  const std::string estimate(estimate_words);
  return says(load.method, estimate + words_of_load(false)) ||
         says(load.method, estimate + words_of_load(true));
}

void mark_reseated(Finding& finding) {
  finding.conditions.append(reseated_words);
}

bool followed_reseating(const Finding& finding) {
  return says(finding.conditions, reseated_words);
}

Volt extrapolated(Volt rest, Volt loaded, double factor) {
  return rest - (rest - loaded) * factor;
}

Result<Findings> state_half_cca_load(const FindingRequest& request) {
  if (request.of.size() != 2) {
    return fail(Errc::bad_input, "the load test is made of a rest and a draw", "of", "name both");
  }
  if (!cranking_load(request.nameplate)) {
    return fail(Errc::unsupported, "the label states neither CCA nor ampere-hours to choose a load by",
                "nameplate", "enter one of them from the label, with its standard");
  }
  auto test = load_test_of(request);
  if (!test) return pass(test);
  const int cells = request.nameplate.cells;
  const auto& battery = test->loaded.temperature;
  std::optional<Volt> least;
  if (battery) least = half_cca_minimum(*battery, cells);
  if (test->loaded.ended_early && (!least || test->volts >= *least)) {
    return fail(
        Errc::unsupported,
        "the draw ended after " + fixed(test->loaded.after.si(), 1) + " s, there is no reading at 15 s",
        "trace", "charge and rest the battery, then run it again");
  }
  Finding at_load = load_finding(*test);
  std::vector<BudgetLine> budget = load_budget(*test, request.accuracy);
  Findings findings;
  if (!least) {
    at_load.conditions += battery ? "; below 0 degF it can't be judged" : "; it can't be judged";
    findings.findings.push_back(with_budget(std::move(at_load), std::move(budget)));
    return findings;
  }
  findings.findings.push_back(with_budget(at_load, budget));
  for (Finding& margin : load_margins(
           *test, at_load, budget, {*battery, *least, request.accuracy, request.settings, request.nameplate}))
    findings.findings.push_back(std::move(margin));
  return findings;
}

}  // namespace leadwright
