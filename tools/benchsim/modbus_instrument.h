// SPDX-License-Identifier: Apache-2.0
// A simulated instrument that speaks Modbus: the registers that all have, the watchdog, and its faults. The
// layout: sim_registers.h. Read next: modbus_charger.h.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "tools/benchsim/modbus_server.h"
#include "tools/benchsim/modbus_unit.h"
#include "tools/benchsim/protection.h"
#include "tools/benchsim/sim_instrument.h"
#include "tools/benchsim/sim_registers.h"

namespace leadwright {

/// How one is built, beyond what every instrument has.
struct ModbusOptions {
  int serial = 1;          ///< input 5
  Second silence{0.0015};  ///< machine time that ends an RTU frame on a line of its own
};

class ModbusInstrument : public SimInstrument, public ModbusUnit, public ModbusStation {
 public:
  ModbusInstrument(sim_registers::Kind kind, int channels, const SimInstrumentOptions& options,
                   const ModbusOptions& modbus, Terminals& posts, const Clock& bench);

  /// RTU frames, as unit 1, alone on its line.
  void exchange(std::string_view bytes, std::string& answers) override { alone_.exchange(bytes, answers); }
  void request(std::string_view pdu, std::string& answer) override;

 protected:
  /// Coil `clear` and the trips of a charger or a load.
  void add_trips(Protection& over_volts, Protection& over_amps, std::function<void()> clear);
  /// The coil that switches it.
  void add_switch(std::function<bool(bool)> turn, std::function<bool()> is_on);
  void add_sample(std::function<double()> volts, std::function<double()> amps);

 private:
  /// It switches off by itself at this instant; nothing: it doesn't.
  virtual void switch_off_at(std::optional<Instant>) {}
  /// Whether it did, and was not forgiven since.
  virtual bool is_expired() { return false; }
  virtual void forgive() {}
  void begin_request() override;
  void restarted() override;
  void add_identity(sim_registers::Kind kind, int channels, int serial);
  void add_watchdog();
  void arm();

  ModbusServer alone_;
  std::string unheard_;
  Second watchdog_;
  int starts_ = 1;
  bool is_restarted_ = true;
};

}  // namespace leadwright
