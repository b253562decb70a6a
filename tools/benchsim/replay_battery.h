// SPDX-License-Identifier: Apache-2.0
// A battery that follows a recorded or computed trace: volts over the charge delivered in the file's last
// step.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "protocol/result.h"
#include "tools/benchsim/sim_battery.h"

namespace leadwright {

/// One trace, read once and shared by its copies.
struct ReplayTrace {
  std::string name;
  std::vector<Coulomb> delivered;  ///< rising, starts at zero
  std::vector<Volt> volts;         ///< one for each of `delivered`
  Volt highest;
  Celsius temperature;
  int cells = 6;
};

/// Reads a CSV with the columns time_s, current_a, terminal_voltage_v and temperature_c, in any order. The
/// last step is the last run of rows with one discharge current; its first row that carries another current,
/// or none, is the instant of the switch. Fails with io or bad_input, naming file and line.
Result<ReplayTrace> load_replay(const std::string& path);
/// As load_replay, from text; `name` stands in messages.
Result<ReplayTrace> parse_replay(std::string_view text, std::string name);

class ReplayBattery final : public SimBattery {
 public:
  explicit ReplayBattery(std::shared_ptr<const ReplayTrace> trace) : trace_(std::move(trace)) {}

  std::unique_ptr<SimBattery> clone() const override { return std::make_unique<ReplayBattery>(*this); }
  void advance(Second time, Ampere discharge) override;
  /// The curve at the charge delivered, whatever the current; at rest the file's highest voltage. A trace
  /// begins with a full battery: until something is drawn, a charger pushes only what a full one gasses away.
  Volt terminal(Ampere discharge) const override;
  Volt rested() const override { return trace_->highest; }
  Celsius temperature() const override { return trace_->temperature; }
  int cells() const override { return trace_->cells; }
  /// Once something was drawn: the file does not say how it comes back.
  std::string charge_refusal() const override;
  Second truth_at_25a() const override;
  std::string description() const override;

 private:
  std::shared_ptr<const ReplayTrace> trace_;
  Coulomb delivered_;
  Second beyond_;  // drawn after the last row
};

}  // namespace leadwright
