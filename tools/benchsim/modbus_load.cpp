// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/modbus_load.h"

namespace leadwright {

using namespace sim_registers;

ModbusLoad::ModbusLoad(const SimInstrumentOptions& options, const ModbusOptions& modbus, Terminals& posts,
                       const Clock& bench)
    : ModbusInstrument(Kind::load, 0, options, modbus, posts, bench), load_(*this, simulated_load) {
  const LoadRating& rating = load_.rating();
  add_switch([this](bool state) { return load_.switch_input(state); }, [this] { return load_.is_on(); });
  add_scaled(
      hold_amps, setting_step, rating.amps_max, [this] { return load_.set_amps(); },
      [this](double amps) { load_.set_amps(amps); });
  add_scaled(
      hold_cutoff, setting_step, rating.volts_max, [this] { return load_.cutoff(); },
      [this](double volts) { load_.set_cutoff(volts); });
  add_discrete(bit_cutoff, [this] { return load_.cutoff_tripped(); });
  add_trips(load_.over_volts, load_.over_amps, [this] { load_.clear_cutoff(); });
  add_sample([this] { return load_.read_volts(); }, [this] { return load_.read_amps(); });
}

}  // namespace leadwright
