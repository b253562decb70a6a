// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "tools/benchsim/cell_battery.h"
#include "tools/benchsim/sim_random.h"
#include "tools/forecast_trial/cases.h"

namespace leadwright {
namespace {

constexpr Ampere draw{25.0};
constexpr Volt cutoff{10.5};
constexpr Second every{5.0};
constexpr std::array sizes_ah{44.0, 60.0, 70.0, 80.0, 95.0};

struct Kind {
  const char* name;
  double until;  ///< of 1: the share of this kind and those before it
  double wear_least, wear_most;
  double charged_least, charged_most;
  CellFault fault;
  int faulty_cells;
};

// P: shares and severities in the order of shared/domain.md, section 12; weak cells as often as the forecast
// believes.
constexpr std::array kinds{Kind{"sound", 0.25, 0.85, 1.0, 0.97, 1.0, CellFault::none, 0},
                           Kind{"worn", 0.55, 0.30, 0.85, 0.95, 1.0, CellFault::none, 0},
                           Kind{"not full", 0.70, 0.6, 1.0, 0.65, 0.95, CellFault::none, 0},
                           Kind{"sulphated", 0.80, 0.6, 1.0, 0.75, 1.0, CellFault::sulphated, 6},
                           Kind{"dried out", 0.85, 0.6, 1.0, 0.95, 1.0, CellFault::dried_out, 6},
                           Kind{"corroded", 0.90, 0.6, 1.0, 0.95, 1.0, CellFault::high_resistance, 1},
                           Kind{"weak cell", 1.00, 0.6, 1.0, 0.95, 1.0, CellFault::low_capacity, 1}};

double between(SimRandom& random, double least, double most) {
  return least + (most - least) * 0.5 * (random.even() + 1.0);
}

/// Accuracy of a bench meter of 0.05 % + 10 mV, and 2 mV of noise.
struct Meter {
  double gain = 1.0;
  double offset_v = 0.0;
  Volt read(Volt volts, SimRandom& random) const {
    return Volt(volts.si() * gain + offset_v + 0.002 * random.normal());
  }
};

Meter some_meter(SimRandom& random) {
  return {1.0 + 0.0005 * random.even(), 0.010 * random.even()};
}

struct Discharged {
  std::vector<Sample> samples;
  Second end;
};

Discharged discharge(CellBattery battery, SimRandom& random) {
  const Meter meter = some_meter(random);
  Discharged result;
  Volt before = battery.terminal(draw);
  for (Second at; at < hours(20.0); at += every) {
    const Volt now = battery.terminal(draw);
    if (now <= cutoff) {
      result.end = at.si() == 0.0 ? at : at - every + every * ((before - cutoff) / (before - now));
      break;
    }
    Sample sample;
    sample.at = at;
    sample.volts = meter.read(now, random);
    result.samples.push_back(sample);
    before = now;
    battery.advance(every, draw);
  }
  return result;
}

DesignCurve learnt(double size_ah, SimRandom& random) {
  std::vector<Discharged> sound;
  for (int i = 0; i < DesignCurve::batteries_min; ++i) {
    CellBatteryMake make;
    make.c20 = ampere_hours(size_ah);
    make.wear = between(random, 0.92, 1.0);
    make.charged = between(random, 0.98, 1.0);
    make.ambient = Celsius(between(random, 20.0, 28.0));
    sound.push_back(discharge(CellBattery(make), random));
  }
  std::vector<DesignTrace> traces;
  traces.reserve(sound.size());
  for (const Discharged& one : sound) traces.push_back({one.samples, Second(0.0), one.end, 6});
  auto curve = learn_design({}, 1, traces);
  return curve ? *curve : DesignCurve{};
}

// C: trace A_60ah_25a of tests/reference/porous-electrode, volts a cell at every eighth of its time.
constexpr std::array outside_v{2.0775, 2.0486, 2.0210, 1.9914, 1.9591, 1.9226, 1.8799, 1.8265, 1.7500};

DesignCurve outside_curve(Second time) {
  DesignCurve curve;
  curve.time = time;
  constexpr std::size_t knots_each = (DesignCurve::knots - 1) / (outside_v.size() - 1);
  for (std::size_t knot = 0; knot < DesignCurve::knots; ++knot) {
    const std::size_t piece = std::min(knot / knots_each, outside_v.size() - 2);
    const double part = static_cast<double>(knot - piece * knots_each) / static_cast<double>(knots_each);
    curve.cell.at(knot) = Volt(std::lerp(outside_v.at(piece), outside_v.at(piece + 1), part));
  }
  return curve;
}

}  // namespace

DesignCurve simulated_design(double c20_ah) {
  SimRandom random(3);
  return learnt(c20_ah, random);
}

std::vector<TrialCase> simulated_cases(int count, std::uint64_t seed) {
  SimRandom random(seed);
  std::map<double, DesignCurve> curves;
  for (const double size : sizes_ah) curves[size] = learnt(size, random);
  std::vector<TrialCase> cases;
  while (static_cast<int>(cases.size()) < count) {
    const double size = sizes_ah.at(random.next() % sizes_ah.size());
    const double drawn = between(random, 0.0, 1.0);
    const Kind* kind = kinds.begin();
    while (drawn > kind->until) ++kind;
    CellBatteryMake make;
    make.c20 = ampere_hours(size);
    make.wear = between(random, kind->wear_least, kind->wear_most);
    make.charged = between(random, kind->charged_least, kind->charged_most);
    make.fault = kind->fault;
    make.faulty_cells = kind->faulty_cells;
    make.ambient = Celsius(between(random, 15.0, 32.0));
    Discharged run = discharge(CellBattery(make), random);
    TrialCase one;
    one.name = std::string(kind->name).append(" ").append(std::to_string(cases.size()));
    one.group = kind->name;
    one.alike = kind->fault != CellFault::low_capacity;
    one.curve = curves[size];
    one.nominal = one.curve.time;
    one.foreign = outside_curve(one.nominal);
    one.samples = std::move(run.samples);
    one.end = run.end;
    cases.push_back(std::move(one));
  }
  return cases;
}

}  // namespace leadwright
