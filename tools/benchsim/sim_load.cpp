// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/sim_load.h"

namespace leadwright {

SimLoad::SimLoad(const SimInstrumentOptions& options, Terminals& posts, const Clock& bench)
    : ScpiInstrument(options.heavy ? "heavy load" : "load", options, posts, bench),
      load_(*this, options.heavy ? simulated_heavy_load : simulated_load) {
  const LoadRating& rating = load_.rating();
  add_measurements([this] { return load_.read_volts(); }, [this] { return load_.read_amps(); });
  add_setting(
      "[SOURce:]CURRent[:LEVel][:IMMediate][:AMPLitude]", rating.amps_max,
      [this](double amps) { load_.set_amps(amps); }, [this] { return load_.set_amps(); });
  add_switch(
      "INPut[:STATe]", [this](bool state) { return load_.switch_input(state); },
      [this] { return load_.is_on(); });
  add_protection("[SOURce:]CURRent:PROTection", {&load_.over_amps});
  add_protection("[SOURce:]VOLTage:PROTection", {&load_.over_volts});
  add_cutoff(load_);
}

std::uint16_t SimLoad::questionable() const {
  const unsigned bits = (load_.over_volts.is_tripped() ? 1U : 0U) | (load_.over_amps.is_tripped() ? 2U : 0U) |
                        (load_.cutoff_tripped() ? 0x200U : 0U);
  return static_cast<std::uint16_t>(bits);
}

}  // namespace leadwright
