// SPDX-License-Identifier: Apache-2.0
// The simulated charger: constant current up to constant voltage. Its words:
// config/profiles/simulated_charger.toml.
#pragma once

#include "tools/benchsim/sim_instrument.h"

namespace leadwright {

class SimCharger final : public SimInstrument {
 public:
  SimCharger(SimInstrumentOptions options, Terminals& terminals, const Clock& bench);

 private:
  void reset() override;
  std::uint16_t questionable() const override;
  void add_setting(const char* node, double most, double& setting);
  void switch_output(bool on);
  void apply();

  Meter volts_;
  Meter amps_;
  Meter volts_source_;  // what is really held for a setting
  Meter amps_source_;
  double set_volts_ = 0.0;
  double set_amps_ = 0.0;
};

}  // namespace leadwright
