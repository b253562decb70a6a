// SPDX-License-Identifier: Apache-2.0
// The simulated electronic load, constant current. Its words: config/profiles/simulated_load.toml. INPut:CUT,
// the low-voltage cut-off, is a node of our own: no standard has one.
#pragma once

#include "tools/benchsim/sim_instrument.h"

namespace leadwright {

class SimLoad final : public SimInstrument {
 public:
  SimLoad(SimInstrumentOptions options, Terminals& terminals, const Clock& bench);

 private:
  void reset() override;
  std::uint16_t questionable() const override;
  bool is_tripped() const;
  void add_cutoff();
  void switch_input(bool on);
  void set_draw(double amps);

  Meter volts_;
  Meter amps_;
  Meter source_;  // what is really drawn for a setting
  double set_amps_ = 0.0;
};

}  // namespace leadwright
