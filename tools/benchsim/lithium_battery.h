// SPDX-License-Identifier: Apache-2.0
// A lithium pack in a starter battery's case that pretends to be lead: it rests where a full lead battery
// rests, hardly moves while it is drawn from, and then drops at once. Four cells in series, orders of size
// from memory.
#pragma once

#include "tools/benchsim/sim_battery.h"

namespace leadwright {

class LithiumBattery final : public SimBattery {
 public:
  explicit LithiumBattery(double charged = 0.35) : charged_(charged) {}
  std::unique_ptr<SimBattery> clone() const override { return std::make_unique<LithiumBattery>(*this); }
  void advance(Second time, Ampere discharge) override;
  Volt terminal(Ampere discharge) const override;
  Volt rested() const override;
  Celsius temperature() const override { return Celsius(25.0); }
  int cells() const override { return 4; }
  Second truth_at_25a() const override;
  std::string description() const override { return "lithium pack that pretends to be lead"; }

 private:
  double charged_;  // 0..1
};

}  // namespace leadwright
