// SPDX-License-Identifier: Apache-2.0
// The simulated relay box, with inputs, that speaks Modbus. Its registers: sim_registers.h.
#pragma once

#include "tools/benchsim/modbus_instrument.h"
#include "tools/benchsim/relay_part.h"

namespace leadwright {

class RelayBox final : public ModbusInstrument {
 public:
  /// `nowhere` are posts without a battery that share the surroundings of what its contacts switch.
  RelayBox(const SimInstrumentOptions& options, const ModbusOptions& modbus, Terminals& nowhere,
           const Clock& bench);

  RelayPart& relays() { return relays_; }
  /// Something happens to the contact of one output, now.
  void set_relay_fault(int output, RelayFault fault);

 private:
  void switch_off_at(std::optional<Instant> instant) override { relays_.switch_off_at(instant); }
  bool is_expired() override { return relays_.is_expired(); }
  void forgive() override { relays_.forgive(); }

  RelayPart relays_;
};

}  // namespace leadwright
