// SPDX-License-Identifier: Apache-2.0
// The simulated electronic load that speaks SCPI. Its words: config/profiles/simulated_load.toml. INPut:CUT,
// the low-voltage cut-off, is a node of our own: no standard has one.
#pragma once

#include "tools/benchsim/load_part.h"
#include "tools/benchsim/scpi_instrument.h"

namespace leadwright {

class SimLoad final : public ScpiInstrument {
 public:
  SimLoad(const SimInstrumentOptions& options, Terminals& posts, const Clock& bench);

 private:
  std::uint16_t questionable() const override;

  LoadPart load_;
};

}  // namespace leadwright
