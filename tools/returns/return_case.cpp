// SPDX-License-Identifier: Apache-2.0
#include "tools/returns/return_case.h"

#include <algorithm>
#include <cmath>
#include <string>

#include "tools/benchsim/sim_random.h"

namespace leadwright {

namespace {

constexpr Celsius reference{25.0};
constexpr Second load_for{15.0};
constexpr Volt loaded_cell_least{1.6};

class CaseDice {
 public:
  CaseDice(std::uint64_t seed, int number)
      : random_(seed, std::string("return ").append(std::to_string(number))) {}
  double share() { return 0.5 * (random_.even() + 1.0); }
  double in(MixSpan span) { return span.least + (span.most - span.least) * share(); }
  std::uint64_t seed() { return random_.next(); }
  double normal() { return random_.normal(); }
  /// One of them, each as often as its share of the sum of shares.
  template <class Weighted>
  const Weighted& pick(const std::vector<Weighted>& all) {
    double sum = 0.0;
    for (const Weighted& each : all) sum += each.share;
    double left = share() * sum;
    for (const Weighted& each : all) {
      if (left < each.share) return each;
      left -= each.share;
    }
    return all.back();
  }

 private:
  SimRandom random_;
};

Volt load_margin_of(CellBattery battery, Ampere amps) {
  constexpr Second step{0.5};
  for (Second at; at < load_for; at += step) battery.advance(step, amps);
  return battery.terminal(amps) - loaded_cell_least * static_cast<double>(battery.cells());
}

/// What flows at this voltage, at most `most`.
Ampere accepted(const CellBattery& battery, Volt limit, Ampere most) {
  if (battery.terminal(-most) <= limit) return most;
  Ampere low;
  Ampere high = most;
  constexpr int halvings = 24;
  for (int i = 0; i < halvings; ++i) {
    const Ampere middle = (low + high) / 2.0;
    (battery.terminal(-middle) <= limit ? low : high) = middle;
  }
  return low;
}

}  // namespace

ReturnCase draw_case(const ReturnsMix& mix, std::uint64_t seed, int number) {
  CaseDice dice(seed, number);
  const BatteryKind& kind = dice.pick(mix.kinds);
  const BatterySize& size = dice.pick(mix.sizes);
  ReturnCase one;
  one.number = number;
  one.seed = dice.seed();
  one.kind = kind.name;
  one.make.kind = kind.name;
  one.make.c20 = one.label_c20 = size.c20;
  one.make.wear = dice.in(kind.wear);
  one.make.fault = kind.fault;
  one.make.faulty_cells = kind.faulty_cells;
  const double emptied = CellBattery::emptied_at(one.make);
  one.make.charged = emptied + (1.0 - emptied) * dice.in(kind.charged);
  one.make.ambient = Celsius(dice.in(mix.temperature_degc));
  one.cracked = kind.cracked;
  one.cca = size.cca;
  one.rated = minutes(std::round(as_minutes(size.as_new) / dice.in(mix.label.new_over_rated)));
  one.states_cca = dice.share() < mix.label.states_cca;
  one.states_reserve_capacity = dice.share() < mix.label.states_reserve_capacity;
  one.arrives = mix.people.opens + (mix.people.closes - mix.people.opens) * dice.share();
  one.owner_agrees = dice.share() < mix.people.owner_agrees;
  one.of_its_mean = 1.0 + mix.repeatability * dice.normal();
  // Drawn last, so that a mix without them stays what it was.
  if (kind.severity) {
    one.severity = dice.share();
    one.make.severity = std::lerp(kind.severity->least, kind.severity->most, *one.severity);
  }
  if (kind.clamp_mohm) {
    // From hardly anything to no contact at all: as often in each decade.
    one.severity = dice.share();
    const double decades = std::log(kind.clamp_mohm->most / kind.clamp_mohm->least);
    one.clamp = Ohm(0.001 * kind.clamp_mohm->least * std::exp(decades * *one.severity));
  }
  if (kind.of_label) one.make.c20 = size.c20 * dice.in(*kind.of_label);
  return one;
}

CellBatteryMake ReturnCase::today() const {
  // The share is one of minutes, which rise faster than the capacity.
  constexpr double tried = 1.03;
  CellBatteryMake larger = make;
  larger.c20 = make.c20 * tried;
  const double grown = CellBattery(larger).truth_at_25a() / CellBattery(make).truth_at_25a();
  const bool is_plain = std::isfinite(grown) && grown > 1.0;
  const double rise = is_plain ? std::log(grown) / std::log(tried) : 1.0;
  CellBatteryMake today = make;
  today.c20 = make.c20 * std::pow(of_its_mean, 1.0 / rise);
  return today;
}

bool Truth::is_near(double share_least) const {
  constexpr double near_minutes = 0.05;
  constexpr Volt near_volts{0.2};
  const double by_minutes = distance(share_least);
  const bool is_clearly_bad =
      by_minutes <= -near_minutes || load_margin <= -near_volts || !holds_charge || !is_whole;
  return !is_clearly_bad && (by_minutes < near_minutes || load_margin < near_volts);
}

CellBattery charged_for_a_day(const CellBatteryMake& make) {
  CellBatteryMake at_reference = make;
  at_reference.ambient = reference;
  CellBattery battery(std::move(at_reference));
  const Ampere most = std::min(make.c20 * 0.2 / hours(1.0), Ampere(20.0));
  const Volt limit = Volt(2.40) * static_cast<double>(make.cells);
  constexpr Second step = minutes(1.0);
  for (Second at; at < hours(24.0); at += step) battery.advance(step, -accepted(battery, limit, most));
  battery.advance(hours(4.0), Ampere(0.0));
  return battery;
}

Truth truth_of(const ReturnCase& one) {
  const CellBattery battery = charged_for_a_day(one.make);
  Truth truth;
  truth.minutes = battery.lasts_at_25a();
  truth.share = truth.minutes / one.rated;
  truth.minutes_if_filled = battery.truth_at_25a();
  truth.share_if_filled = truth.minutes_if_filled / one.rated;
  truth.load_margin = load_margin_of(battery, one.cca / 2.0);
  // P: a block that falls by more than half way from 10 to 20 mV a day is not sound; at 1 it falls by 24 mV.
  constexpr double leaks_from = 15.0 / 24.0;
  truth.holds_charge = one.make.fault != CellFault::self_discharge || one.make.severity < leaks_from;
  truth.is_whole = !one.cracked;
  return truth;
}

}  // namespace leadwright
