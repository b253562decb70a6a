// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/relay_box.h"

namespace leadwright {

using namespace sim_registers;

RelayBox::RelayBox(const SimInstrumentOptions& options, const ModbusOptions& modbus, Terminals& nowhere,
                   const Clock& bench)
    : ModbusInstrument(Kind::relay_box, RelayPart::outputs, options, modbus, nowhere, bench), relays_(*this) {
  for (int output = 0; output < RelayPart::outputs; ++output) {
    add_coil(
        output, [this, output] { return relays_.coil(output); },
        [this, output](bool on) {
          relays_.set_coil(output, on);
          return ModbusException::none;
        });
    add_discrete(bit_aux + output, [this, output] { return relays_.is_closed(output); });
  }
  for (int input = 0; input < RelayPart::inputs; ++input) {
    add_discrete(input, [this, input] { return relays_.input(input); });
  }
}

void RelayBox::set_relay_fault(int output, RelayFault fault) {
  begin();
  relays_.set_fault(output, fault);
}

}  // namespace leadwright
