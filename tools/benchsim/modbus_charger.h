// SPDX-License-Identifier: Apache-2.0
// The simulated charger that speaks Modbus. Its registers: sim_registers.h.
#pragma once

#include "tools/benchsim/charger_part.h"
#include "tools/benchsim/modbus_instrument.h"

namespace leadwright {

class ModbusCharger final : public ModbusInstrument {
 public:
  ModbusCharger(const SimInstrumentOptions& options, const ModbusOptions& modbus, Terminals& posts,
                const Clock& bench);

 private:
  void switch_off_at(std::optional<Instant> instant) override { charger_.switch_off_at(instant); }
  bool is_expired() override { return charger_.is_expired(); }
  void forgive() override { charger_.forgive(); }

  ChargerPart charger_;
};

}  // namespace leadwright
