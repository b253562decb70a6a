// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/modbus_charger.h"

namespace leadwright {

using namespace sim_registers;

ModbusCharger::ModbusCharger(const SimInstrumentOptions& options, const ModbusOptions& modbus,
                             Terminals& posts, const Clock& bench)
    : ModbusInstrument(Kind::charger, 0, options, modbus, posts, bench), charger_(*this, simulated_charger) {
  const ChargerRating& rating = charger_.rating();
  add_switch([this](bool state) { return charger_.switch_output(state); },
             [this] { return charger_.is_on(); });
  add_scaled(
      hold_volts, setting_step, rating.volts_max, [this] { return charger_.set_volts(); },
      [this](double volts) { charger_.set_volts(volts); });
  add_scaled(
      hold_amps, setting_step, rating.amps_max, [this] { return charger_.set_amps(); },
      [this](double amps) { charger_.set_amps(amps); });
  add_trips(charger_.over_volts, charger_.over_amps, [] {});
  add_sample([this] { return charger_.read_volts(); }, [this] { return charger_.read_amps(); });
}

}  // namespace leadwright
