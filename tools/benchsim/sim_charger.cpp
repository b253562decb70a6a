// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/sim_charger.h"

#include <algorithm>
#include <utility>

namespace leadwright {

namespace {

// Declared in config/profiles/simulated_charger.toml.
constexpr SimAccuracy volts_accuracy{0.0005, 0.005, 0.001};
constexpr SimAccuracy amps_accuracy{0.001, 0.010, 0.001};
constexpr double volts_max = 18.0;
constexpr double amps_max = 40.0;
constexpr double trip_volts_max = 20.0;
constexpr double trip_amps_max = 50.0;

}  // namespace

SimCharger::SimCharger(SimInstrumentOptions options, Terminals& posts, const Clock& bench)
    : SimInstrument("charger", std::move(options), posts, bench),
      volts_(meter(volts_accuracy)),
      amps_(meter(amps_accuracy)),
      volts_source_(meter(volts_accuracy)),
      amps_source_(meter(amps_accuracy)) {
  on("MEASure[:SCALar]:VOLTage[:DC]?",
     [this](ScpiCall& call) { write(call.answer, reading(volts_, terminals().volts().si(), 0)); });
  on("MEASure[:SCALar]:CURRent[:DC]?", [this](ScpiCall& call) {
    const Ampere pushed = terminals().charger_amps();
    write(call.answer, reading(amps_, pushed.si() + unsettled_amps(pushed), 1));
  });
  add_setting("[SOURce:]VOLTage[:LEVel][:IMMediate][:AMPLitude]", volts_max, set_volts_);
  add_setting("[SOURce:]CURRent[:LEVel][:IMMediate][:AMPLitude]", amps_max, set_amps_);
  on("OUTPut[:STATe]", [this](ScpiCall& call) {
    if (const auto state = boolean(call)) switch_output(*state);
  });
  on("OUTPut[:STATe]?", [this](ScpiCall& call) { call.answer += terminals().charger.on ? '1' : '0'; });
  add_protection("[SOURce:]CURRent:PROTection", trip_amps_max, terminals().charger.over_amps);
  add_protection("[SOURce:]VOLTage:PROTection", trip_volts_max, terminals().charger.over_volts);
}

void SimCharger::add_setting(const char* node, double most, double& setting) {
  on(node, [this, most, &setting](ScpiCall& call) {
    const auto value = number(call, 0.0, most);
    if (!value || (has_fault(Fault::ignores_off) && *value < setting)) return;
    setting = *value;
    apply();
  });
  on(std::string(node) + "?", [this, most, &setting](ScpiCall& call) {
    if (call.argument.empty()) return write(call.answer, setting);
    if (const auto value = number(call, 0.0, most)) write(call.answer, *value);
  });
}

void SimCharger::switch_output(bool state) {
  if (!state && has_fault(Fault::ignores_off)) return;
  const ChargerCircuit& charger = terminals().charger;
  if (state && (charger.over_amps.tripped || charger.over_volts.tripped)) {
    return error(-221, "Settings conflict;tripped, clear it first");
  }
  const Ampere before = terminals().charger_amps();
  terminals().charger.on = state;
  terminals().changed();
  jumped(before);
}

void SimCharger::apply() {
  const Ampere before = terminals().charger_amps();
  terminals().charger.volts = Volt(set_volts_ > 0.0 ? std::max(volts_source_.biased(set_volts_), 0.0) : 0.0);
  terminals().charger.limit = Ampere(set_amps_ > 0.0 ? std::max(amps_source_.biased(set_amps_), 0.0) : 0.0);
  terminals().changed();
  jumped(before);
}

void SimCharger::reset() {
  terminals().charger.on = false;
  set_volts_ = set_amps_ = 0.0;
  reset_protections();
  apply();
}

std::uint16_t SimCharger::questionable() const {
  const ChargerCircuit& charger = terminals().charger;
  const unsigned bits = (charger.over_volts.tripped ? 1U : 0U) | (charger.over_amps.tripped ? 2U : 0U);
  return static_cast<std::uint16_t>(bits);
}

}  // namespace leadwright
