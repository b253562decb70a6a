// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/sim_charger.h"

namespace leadwright {

SimCharger::SimCharger(const SimInstrumentOptions& options, Terminals& posts, const Clock& bench)
    : ScpiInstrument("charger", options, posts, bench), charger_(*this, simulated_charger) {
  const ChargerRating& rating = charger_.rating();
  add_measurements([this] { return charger_.read_volts(); }, [this] { return charger_.read_amps(); });
  add_setting(
      "[SOURce:]VOLTage[:LEVel][:IMMediate][:AMPLitude]", rating.volts_max,
      [this](double volts) { charger_.set_volts(volts); }, [this] { return charger_.set_volts(); });
  add_setting(
      "[SOURce:]CURRent[:LEVel][:IMMediate][:AMPLitude]", rating.amps_max,
      [this](double amps) { charger_.set_amps(amps); }, [this] { return charger_.set_amps(); });
  add_switch(
      "OUTPut[:STATe]", [this](bool state) { return charger_.switch_output(state); },
      [this] { return charger_.is_on(); });
  add_protection("[SOURce:]CURRent:PROTection", {&charger_.over_amps});
  add_protection("[SOURce:]VOLTage:PROTection", {&charger_.over_volts});
}

std::uint16_t SimCharger::questionable() const {
  const unsigned bits =
      (charger_.over_volts.is_tripped() ? 1U : 0U) | (charger_.over_amps.is_tripped() ? 2U : 0U);
  return static_cast<std::uint16_t>(bits);
}

}  // namespace leadwright
