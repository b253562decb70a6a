// SPDX-License-Identifier: Apache-2.0
#include "tools/minutes_trial/trial.h"

#include <array>
#include <cmath>

#include "daemon/battery/reserve_capacity.h"
#include "tools/benchsim/cell_battery.h"
#include "tools/benchsim/sim_random.h"

namespace leadwright {
namespace {

constexpr Second every{0.5};  // as config/procedures/reserve_capacity.toml
constexpr Second first_reading{0.1};
constexpr Second longest = hours(6.0);
constexpr std::array sizes_ah{44.0, 60.0, 70.0, 80.0, 95.0};
/// Of the simulated load and thermometer (config/profiles): rel, abs, resolution.
constexpr MeterAccuracy accuracy{0.0003,        Volt(0.003),   Volt(0.001), 0.0005,
                                 Ampere(0.005), Ampere(0.001), Kelvin(0.3)};
/// Noise of a reading as a share of the absolute part (P).
constexpr double noise_share = 0.06;

struct Kind {
  const char* name;
  double wear_least, wear_most;
  CellFault fault;
  int faulty_cells;
  CellBuild build = CellBuild::flooded;
};
constexpr std::array kinds{Kind{"sound", 0.8, 1.0, CellFault::none, 0},
                           Kind{"worn", 0.3, 0.8, CellFault::none, 0},
                           Kind{"sulphated", 0.6, 1.0, CellFault::sulphated, 6},
                           Kind{"dried out", 0.6, 1.0, CellFault::dried_out, 6},
                           Kind{"weak cell", 0.6, 1.0, CellFault::low_capacity, 1},
                           Kind{"corroded joint", 0.6, 1.0, CellFault::high_resistance, 1},
                           Kind{"high self-discharge", 0.6, 1.0, CellFault::self_discharge, 1},
                           Kind{"EFB, sound", 0.8, 1.0, CellFault::none, 0, CellBuild::efb},
                           Kind{"EFB, worn", 0.3, 0.8, CellFault::none, 0, CellBuild::efb},
                           Kind{"AGM, sound", 0.8, 1.0, CellFault::none, 0, CellBuild::agm},
                           Kind{"AGM, worn", 0.3, 0.8, CellFault::none, 0, CellBuild::agm},
                           Kind{"gel, sound", 0.8, 1.0, CellFault::none, 0, CellBuild::gel},
                           Kind{"gel, worn", 0.3, 0.8, CellFault::none, 0, CellBuild::gel}};

Chemistry chemistry_of(CellBuild build) {
  switch (build) {
    case CellBuild::efb:
      return Chemistry::efb;
    case CellBuild::agm:
      return Chemistry::agm;
    case CellBuild::gel:
      return Chemistry::gel;
    case CellBuild::flooded:
      break;
  }
  return Chemistry::flooded;
}

double between(SimRandom& random, double least, double most) {
  return least + (most - least) * 0.5 * (random.even() + 1.0);
}

/// Gain and offset drawn once, anywhere within what is declared.
class TrialMeter {
 public:
  TrialMeter(double relative, double absolute, double resolution, SimRandom& random)
      : gain_(1.0 + relative * random.even()),
        offset_(absolute * random.even()),
        noise_(noise_share * absolute),
        resolution_(resolution),
        random_(random) {}
  double read(double value) {
    const double shown = value * gain_ + offset_ + noise_ * random_.normal();
    return std::round(shown / resolution_) * resolution_;
  }

 private:
  double gain_;
  double offset_;
  double noise_;
  double resolution_;
  SimRandom& random_;
};

Trace discharge(CellBattery battery, const EstimatorSettings& settings, SimRandom& random) {
  TrialMeter volts(accuracy.volts_relative, accuracy.volts_absolute.si(), accuracy.volts_resolution.si(),
                   random);
  TrialMeter amps(accuracy.amps_relative, accuracy.amps_absolute.si(), accuracy.amps_resolution.si(), random);
  constexpr double degc_resolution = 0.1;
  TrialMeter degc(0.0, accuracy.temperature_absolute.si(), degc_resolution, random);
  const double case_differs = settings.u_case_to_electrolyte.si() * random.normal();
  // The load holds the current by its own shunt, which is the one that reads it.
  const Ampere flows = reserve_capacity_current * (1.0 + accuracy.amps_relative * random.even());
  const Volt cutoff = reserve_capacity_cell_cutoff * static_cast<double>(battery.cells());
  Trace trace;
  Trace::StepSpan span;
  span.name = "draw";
  battery.advance(first_reading, flows);
  for (Second at = first_reading; at < longest; at += every) {
    Sample sample;
    sample.at = at;
    sample.volts = Volt(volts.read(battery.terminal(flows).si()));
    sample.amps = Ampere(amps.read(flows.si()));
    sample.temperature = Celsius(degc.read(battery.temperature().degc() + case_differs));
    trace.samples.push_back(sample);
    if (*sample.volts <= cutoff) break;
    battery.advance(every, flows);
  }
  span.last = trace.samples.size();
  span.ended_at = trace.samples.back().at;
  span.end = "cut-off reached";
  trace.steps.push_back(std::move(span));
  return trace;
}

RehearsedReturn one_of(const Kind& kind, SimRandom& random) {
  RehearsedReturn done;
  done.one.kind = kind.name;
  CellBatteryMake& make = done.one.make;
  make.c20 = ampere_hours(sizes_ah.at(random.next() % sizes_ah.size()));
  make.wear = between(random, kind.wear_least, kind.wear_most);
  make.fault = kind.fault;
  make.faulty_cells = kind.faulty_cells;
  make.build = kind.build;
  make.ambient = Celsius(between(random, 15.0, 35.0));
  const EstimatorSettings settings;
  done.one.of_its_mean = 1.0 + settings.u_battery_repeatability * random.normal();
  done.truth.minutes = CellBattery(make).truth_at_25a();
  done.truth.minutes_if_filled = done.truth.minutes;

  const Trace trace = discharge(CellBattery(done.one.today()), settings, random);
  FindingRequest request;
  request.calculation = "reserve_capacity";
  request.trace = &trace;
  request.of = {"draw"};
  request.nameplate.chemistry = chemistry_of(kind.build);
  request.nameplate.cells = make.cells;
  request.nameplate.reserve_capacity = Rating<Second>{done.truth.minutes, RatingStandard::en};
  request.accuracy = accuracy;
  request.settings = settings;
  const auto stated = state(request);
  if (!stated) return done;
  for (const Finding& finding : stated->findings) {
    if (finding.measurand == Measurand::reserve_capacity_ref) done.visit.minutes = finding;
  }
  return done;
}

}  // namespace

std::vector<RehearsedReturn> stated_minutes(int of_each, std::uint64_t seed) {
  SimRandom random(seed);
  std::vector<RehearsedReturn> all;
  all.reserve(kinds.size() * static_cast<std::size_t>(of_each));
  for (const Kind& kind : kinds) {
    for (int i = 0; i < of_each; ++i) all.push_back(one_of(kind, random));
  }
  return all;
}

}  // namespace leadwright
