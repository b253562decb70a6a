// SPDX-License-Identifier: Apache-2.0
// A battery that does what a test says, however impossible: for hazards that a model would have to be broken
// to show.
#pragma once

#include "tools/benchsim/sim_battery.h"

namespace leadwright {

/// What the test may change while the battery stands at a place.
struct BatteryScript {
  Volt rested{12.6};
  double resistance_ohm = 0.01;  ///< inside
  double clamp_ohm = 0.0;        ///< at a clamp, seen by both meters
  Celsius temperature{25.0};
  double kelvin_per_minute = 0.0;
};

class ScriptedBattery final : public SimBattery {
 public:
  explicit ScriptedBattery(BatteryScript& script) : script_(script) {}
  std::unique_ptr<SimBattery> clone() const override { return std::make_unique<ScriptedBattery>(script_); }
  void advance(Second time, Ampere) override {
    wobble_v_ = -wobble_v_;  // else its digits would look frozen
    script_.temperature = Celsius(script_.temperature.degc() + script_.kelvin_per_minute * as_minutes(time));
  }
  Volt terminal(Ampere discharge) const override {
    return script_.rested + Volt(wobble_v_) -
           Volt((script_.resistance_ohm + script_.clamp_ohm) * discharge.si());
  }
  Volt rested() const override { return script_.rested; }
  Celsius temperature() const override { return script_.temperature; }
  int cells() const override { return 6; }
  Second truth_at_25a() const override { return hours(1.0); }
  std::string description() const override { return "scripted"; }

 private:
  BatteryScript& script_;
  double wobble_v_ = 0.001;
};

}  // namespace leadwright
