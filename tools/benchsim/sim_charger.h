// SPDX-License-Identifier: Apache-2.0
// The simulated charger that speaks SCPI. Its words: config/profiles/simulated_charger.toml.
#pragma once

#include "tools/benchsim/charger_part.h"
#include "tools/benchsim/scpi_instrument.h"

namespace leadwright {

class SimCharger final : public ScpiInstrument {
 public:
  SimCharger(const SimInstrumentOptions& options, Terminals& posts, const Clock& bench);

 private:
  std::uint16_t questionable() const override;

  ChargerPart charger_;
};

}  // namespace leadwright
