// SPDX-License-Identifier: Apache-2.0
// The simulated thermometer that speaks SCPI. Its words: config/profiles/simulated_thermometer.toml.
#pragma once

#include "tools/benchsim/scpi_instrument.h"
#include "tools/benchsim/thermometer_part.h"

namespace leadwright {

class SimThermometer final : public ScpiInstrument {
 public:
  SimThermometer(const SimInstrumentOptions& options, Terminals& posts, const Clock& bench)
      : ScpiInstrument("thermometer", options, posts, bench), degrees_(*this, {&posts}) {
    on("MEASure[:SCALar]:TEMPerature?", [this](ScpiCall& call) { write(call.answer, degrees_.read(0), 2); });
  }

 private:
  ThermometerPart degrees_;
};

}  // namespace leadwright
