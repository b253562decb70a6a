// SPDX-License-Identifier: Apache-2.0
// A simulated battery that counts the charge which it really gave, and whose clamps may be bad. The truth
// that the daemon's ampere-hours are held against: it shares no formula with any meter or recorder.
#pragma once

#include <algorithm>

#include "tools/benchsim/sim_battery.h"

namespace leadwright {

class CountingBattery final : public SimBattery {
 public:
  explicit CountingBattery(std::unique_ptr<SimBattery> inside) : inside_(std::move(inside)) {}

  std::unique_ptr<SimBattery> clone() const override {
    auto copy = std::make_unique<CountingBattery>(inside_->clone());
    copy->given_ = given_;
    copy->lacks_ = lacks_;
    copy->clamps_ = clamps_;
    return copy;
  }
  void advance(Second time, Ampere discharge) override {
    const Coulomb moved = discharge * time;
    given_ += moved;
    lacks_ = std::max(Coulomb(0.0), lacks_ + moved);
    inside_->advance(time, discharge);
  }
  Volt terminal(Ampere discharge) const override {
    return inside_->terminal(discharge) - discharge * clamps_;
  }
  Volt rested() const override { return inside_->rested(); }
  Celsius temperature() const override { return inside_->temperature(); }
  int cells() const override { return inside_->cells(); }
  std::string charge_refusal() const override { return inside_->charge_refusal(); }
  Second truth_at_25a() const override { return inside_->truth_at_25a(); }
  std::string description() const override { return inside_->description(); }

  /// Net charge that it gave since it was made.
  Coulomb given() const { return given_; }
  /// Net charge that was taken out of it since it came or was last filled.
  Coulomb lacks() const { return lacks_; }
  void filled() { lacks_ = Coulomb(0.0); }
  /// Resistance of its clamps. To be changed at a settled instant of its posts.
  void set_clamps(Ohm resistance) { clamps_ = resistance; }

 private:
  std::unique_ptr<SimBattery> inside_;
  Coulomb given_{0.0};
  Coulomb lacks_{0.0};
  Ohm clamps_{0.0};
};

}  // namespace leadwright
