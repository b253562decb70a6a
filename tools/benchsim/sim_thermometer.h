// SPDX-License-Identifier: Apache-2.0
// The simulated thermometer on the case. Its words: config/profiles/simulated_thermometer.toml.
#pragma once

#include <utility>

#include "tools/benchsim/sim_instrument.h"

namespace leadwright {

class SimThermometer final : public SimInstrument {
 public:
  SimThermometer(SimInstrumentOptions options, Terminals& posts, const Clock& bench)
      : SimInstrument("thermometer", std::move(options), posts, bench),
        // Declared in config/profiles/simulated_thermometer.toml.
        degrees_(meter({0.0, 0.3, is_ideal() ? 0.01 : 0.1})) {
    on("MEASure[:SCALar]:TEMPerature?", [this](ScpiCall& call) {
      write(call.answer, reading(degrees_, terminals().temperature().degc(), 0), 2);
    });
  }

 private:
  Meter degrees_;
};

}  // namespace leadwright
