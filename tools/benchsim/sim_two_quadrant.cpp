// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/sim_two_quadrant.h"

namespace leadwright {

SimTwoQuadrant::SimTwoQuadrant(const SimInstrumentOptions& options, Terminals& posts, const Clock& bench)
    : ScpiInstrument("two-quadrant unit", options, posts, bench),
      give_(*this, giving),
      take_(*this, taking),
      amps_(*this, giving.amps, giving.amps_max) {
  add_measurements([this] { return give_.read_volts(); },
                   [this] { return amps_.show(give_.settling_amps() - take_.settling_amps()); });
  add_setting(
      "[SOURce:]VOLTage[:LEVel][:IMMediate][:AMPLitude]", giving.volts_max,
      [this](double volts) { give_.set_volts(volts); }, [this] { return give_.set_volts(); });
  add_setting(
      "[SOURce:]CURRent[:LEVel][:IMMediate][:AMPLitude]", giving.amps_max,
      [this](double amps) {
        give_.set_amps(amps);
        take_.set_amps(amps);
      },
      [this] { return give_.set_amps(); });
  add_switches();
  add_protection("[SOURce:]CURRent:PROTection", {&give_.over_amps, &take_.over_amps});
  add_protection("[SOURce:]VOLTage:PROTection", {&give_.over_volts, &take_.over_volts});
  add_cutoff(take_);
}

void SimTwoQuadrant::add_switches() {
  const auto turn = [this](bool state, bool other_is_on, auto act) {
    if (state && other_is_on) {
      error(-221, "Settings conflict;it gives or takes, not both");
      return true;
    }
    if (state && (give_.is_tripped() || take_.is_tripped())) return false;
    return act(state);
  };
  add_switch(
      "OUTPut[:STATe]",
      [this, turn](bool state) {
        return turn(state, take_.is_on(), [this](bool on) { return give_.switch_output(on); });
      },
      [this] { return give_.is_on(); });
  add_switch(
      "INPut[:STATe]",
      [this, turn](bool state) {
        return turn(state, give_.is_on(), [this](bool on) { return take_.switch_input(on); });
      },
      [this] { return take_.is_on(); });
}

std::uint16_t SimTwoQuadrant::questionable() const {
  const bool over_volts = give_.over_volts.is_tripped() || take_.over_volts.is_tripped();
  const bool over_amps = give_.over_amps.is_tripped() || take_.over_amps.is_tripped();
  const unsigned bits =
      (over_volts ? 1U : 0U) | (over_amps ? 2U : 0U) | (take_.cutoff_tripped() ? 0x200U : 0U);
  return static_cast<std::uint16_t>(bits);
}

}  // namespace leadwright
