// SPDX-License-Identifier: Apache-2.0
// A battery behind a clamp that makes poor contact: so much resistance in series until somebody reseats it.
// For: rehearsals. Owned and used as any SimBattery.
#pragma once

#include <memory>
#include <utility>

#include "tools/benchsim/sim_battery.h"

namespace leadwright {

class LooseClamp final : public SimBattery {
 public:
  /// `contact` belongs to whoever reseats the clamp; copies of the battery share it.
  LooseClamp(std::unique_ptr<SimBattery> battery, std::shared_ptr<const Ohm> contact)
      : battery_(std::move(battery)), contact_(std::move(contact)) {}

  std::unique_ptr<SimBattery> clone() const override {
    return std::make_unique<LooseClamp>(battery_->clone(), contact_);
  }
  void advance(Second time, Ampere discharge) override { battery_->advance(time, discharge); }
  Volt terminal(Ampere discharge) const override {
    return battery_->terminal(discharge) - *contact_ * discharge;
  }
  Volt rested() const override { return battery_->rested(); }
  Celsius temperature() const override { return battery_->temperature(); }
  int cells() const override { return battery_->cells(); }
  std::string charge_refusal() const override { return battery_->charge_refusal(); }
  Second truth_at_25a() const override { return battery_->truth_at_25a(); }
  std::string description() const override { return battery_->description(); }

 private:
  std::unique_ptr<SimBattery> battery_;
  std::shared_ptr<const Ohm> contact_;
};

}  // namespace leadwright
