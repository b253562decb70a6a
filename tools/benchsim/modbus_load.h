// SPDX-License-Identifier: Apache-2.0
// The simulated electronic load that speaks Modbus. Its registers: sim_registers.h.
#pragma once

#include "tools/benchsim/load_part.h"
#include "tools/benchsim/modbus_instrument.h"

namespace leadwright {

class ModbusLoad final : public ModbusInstrument {
 public:
  ModbusLoad(const SimInstrumentOptions& options, const ModbusOptions& modbus, Terminals& posts,
             const Clock& bench);

 private:
  void switch_off_at(std::optional<Instant> instant) override { load_.switch_off_at(instant); }
  bool is_expired() override { return load_.is_expired(); }
  void forgive() override { load_.forgive(); }

  LoadPart load_;
};

}  // namespace leadwright
