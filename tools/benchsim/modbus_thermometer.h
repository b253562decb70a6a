// SPDX-License-Identifier: Apache-2.0
// The simulated thermometer that speaks Modbus, with a channel for each of one or more places. Its registers:
// sim_registers.h.
#pragma once

#include <vector>

#include "tools/benchsim/modbus_instrument.h"
#include "tools/benchsim/thermometer_part.h"

namespace leadwright {

class ModbusThermometer final : public ModbusInstrument {
 public:
  /// `places` is not empty; channel 0 is the first.
  ModbusThermometer(const SimInstrumentOptions& options, const ModbusOptions& modbus,
                    const std::vector<Terminals*>& places, const Clock& bench)
      : ModbusInstrument(sim_registers::Kind::thermometer, static_cast<int>(places.size()), options, modbus,
                         *places.front(), bench),
        degrees_(*this, places) {
    for (int channel = 0; channel < degrees_.channels(); ++channel) {
      add_input_f32(sim_registers::in_sample + 2 * channel,
                    [this, channel] { return degrees_.read(channel); });
    }
  }

 private:
  ThermometerPart degrees_;
};

}  // namespace leadwright
