// SPDX-License-Identifier: Apache-2.0
// The simulated two-quadrant unit that speaks SCPI: a supply with OUTPut on, a load with INPut on, never both
// (-221). One CURRent is the limit of the one and the draw of the other. It measures amps positive while it
// gives, negative while it takes. All nodes are standard but INPut:CUT (see sim_load.h).
#pragma once

#include "tools/benchsim/charger_part.h"
#include "tools/benchsim/load_part.h"
#include "tools/benchsim/scpi_instrument.h"

namespace leadwright {

class SimTwoQuadrant final : public ScpiInstrument {
 public:
  static constexpr ChargerRating giving{
      18.0, 60.0, 20.0, 70.0, {0.0005, 0.005, 0.001}, {0.001, 0.010, 0.001}};
  static constexpr LoadRating taking{60.0, 70.0, 20.0, {0.0005, 0.005, 0.001}, {0.001, 0.010, 0.001}};

  SimTwoQuadrant(const SimInstrumentOptions& options, Terminals& posts, const Clock& bench);

 private:
  std::uint16_t questionable() const override;
  void add_switches();

  ChargerPart give_;
  LoadPart take_;
  Display amps_;
};

}  // namespace leadwright
