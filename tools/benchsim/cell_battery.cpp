// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/cell_battery.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace leadwright {

namespace {

constexpr Second step_max{10.0};
constexpr Second step_at_rest_max{600.0};
// A 15 kg block of acid and lead, standing free on a bench; from memory of common orders of size.
constexpr double heat_capacity_60ah = 14000.0;  // J/K
constexpr double heat_conductance_60ah = 2.0;   // W/K
constexpr Celsius boiling{108.0};               // of strong acid: steam carries the rest away
// Cells of one block are never equal: one is 2 % smaller. The weakest cell ends a discharge.
constexpr double weakest_size = 0.98;

}  // namespace

CellBattery::CellBattery(CellBatteryMake make)
    : make_(std::move(make)),
      groups_{Group{SimCell({}, 1.0), 0}, Group{SimCell({}, 1.0), 0}, Group{SimCell({}, 1.0), 0}},
      temperature_(make_.ambient) {
  const int faulty = std::clamp(make_.faulty_cells, 0, make_.cells);
  const int sound = make_.cells - faulty;
  const CellMake plain{make_.c20, 1.0, make_.wear, CellFault::none, 1.0};
  if (faulty > 0) add({make_.c20, 1.0, make_.wear, make_.fault, make_.severity}, faulty, make_.charged);
  if (sound > 1) add(plain, sound - 1, make_.charged);
  if (sound > 0) add({make_.c20, weakest_size, make_.wear, CellFault::none, 1.0}, 1, make_.charged);
}

void CellBattery::add(CellMake make, int count, double charged) {
  make.build = make_.build;
  groups_.at(group_count_++) = Group{SimCell(make, charged), count};
}

void CellBattery::advance(Second time, Ampere discharge) {
  const Second longest = discharge.si() == 0.0 ? step_at_rest_max : step_max;
  while (time.si() > 0.0) {
    const Second part = std::min(time, longest);
    step(part, discharge);
    time -= part;
  }
}

void CellBattery::step(Second time, Ampere discharge) {
  const Ampere inner = make_.stands_reversed ? -discharge : discharge;
  double lost_w = 0.0;
  for (std::size_t i = 0; i < group_count_; ++i) {
    Group& group = groups_[i];
    if (inner.si() != 0.0) {
      const Volt drop = group.cell.rested() - group.cell.terminal(inner, temperature_);
      lost_w += (drop * inner).si() * group.count;
    }
    group.cell.advance(time, inner, temperature_);
  }
  const double size = as_ampere_hours(make_.c20) / SimCell::reference_ah * make_.cells / 6.0;
  const double tau = heat_capacity_60ah / heat_conductance_60ah;
  const double settled = make_.ambient.degc() + lost_w / (heat_conductance_60ah * size);
  const double warmed = settled + (temperature_.degc() - settled) * std::exp(-time.si() / tau);
  temperature_ = std::min(Celsius(warmed), boiling);
  heat_ += Joule(lost_w * time.si());
}

Volt CellBattery::terminal(Ampere discharge) const {
  const Ampere inner = make_.stands_reversed ? -discharge : discharge;
  Volt sum;
  for (std::size_t i = 0; i < group_count_; ++i) {
    sum += groups_[i].cell.terminal(inner, temperature_) * static_cast<double>(groups_[i].count);
  }
  return make_.stands_reversed ? -sum : sum;
}

Volt CellBattery::rested() const {
  Volt sum;
  for (std::size_t i = 0; i < group_count_; ++i) {
    sum += groups_[i].cell.rested() * static_cast<double>(groups_[i].count);
  }
  return make_.stands_reversed ? -sum : sum;
}

double CellBattery::emptied_at(const CellBatteryMake& make) {
  const CellFault poorest = make.faulty_cells > 0 ? make.fault : CellFault::none;
  return 1.0 - SimCell({make.c20, 1.0, make.wear, poorest, make.severity}, 1.0).usable();
}

double CellBattery::charged() const {
  double least = 1.0;
  for (std::size_t i = 0; i < group_count_; ++i) least = std::min(least, groups_[i].cell.charged());
  return least;
}

Ampere CellBattery::gassing(Ampere charge) const {
  Ampere sum;
  for (std::size_t i = 0; i < group_count_; ++i) {
    sum += groups_[i].cell.gassing(charge, temperature_) * static_cast<double>(groups_[i].count);
  }
  return sum;
}

Second CellBattery::truth_at_25a() const {
  CellBatteryMake full = make_;
  full.charged = 1.0;
  full.ambient = Celsius(25.0);
  return CellBattery(std::move(full)).lasts_at_25a();
}

Second CellBattery::lasts_at_25a() const {
  constexpr Ampere draw{25.0};
  constexpr Second step{0.5};
  constexpr Second longest = hours(20.0);
  CellBattery trial(*this);
  const Volt end(1.75 * make_.cells);
  Volt before = trial.terminal(draw);
  for (Second t; t < longest; t += step) {
    if (before <= end) return t;
    trial.step(step, draw);
    const Volt after = trial.terminal(draw);
    if (after <= end) return t + step * ((before - end) / (before - after));
    before = after;
  }
  return longest;
}

std::string CellBattery::description() const {
  return make_.kind + ", " + std::to_string(make_.cells) + " cells, " +
         std::to_string(static_cast<int>(std::lround(as_ampere_hours(make_.c20)))) + " Ah, charged to " +
         std::to_string(static_cast<int>(std::lround(charged() * 100.0))) + " %";
}

}  // namespace leadwright
