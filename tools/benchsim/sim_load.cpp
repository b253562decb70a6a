// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/sim_load.h"

#include <algorithm>
#include <utility>

namespace leadwright {

namespace {

// Declared in config/profiles/simulated_load.toml.
constexpr SimAccuracy volts_accuracy{0.0003, 0.003, 0.001};
constexpr SimAccuracy amps_accuracy{0.0005, 0.005, 0.001};
constexpr double amps_max = 100.0;
constexpr double trip_amps_max = 110.0;
constexpr double volts_max = 60.0;

}  // namespace

SimLoad::SimLoad(SimInstrumentOptions options, Terminals& posts, const Clock& bench)
    : SimInstrument("load", std::move(options), posts, bench),
      volts_(meter(volts_accuracy)),
      amps_(meter(amps_accuracy)),
      source_(meter(amps_accuracy)) {
  on("MEASure[:SCALar]:VOLTage[:DC]?",
     [this](ScpiCall& call) { write(call.answer, reading(volts_, terminals().volts().si(), 0)); });
  on("MEASure[:SCALar]:CURRent[:DC]?", [this](ScpiCall& call) {
    const Ampere drawn = terminals().load_amps();
    write(call.answer, reading(amps_, drawn.si() + unsettled_amps(drawn), 1));
  });
  on("[SOURce:]CURRent[:LEVel][:IMMediate][:AMPLitude]", [this](ScpiCall& call) {
    if (const auto amps = number(call, 0.0, amps_max)) set_draw(*amps);
  });
  on("[SOURce:]CURRent[:LEVel][:IMMediate][:AMPLitude]?", [this](ScpiCall& call) {
    if (call.argument.empty()) return write(call.answer, set_amps_);
    if (const auto amps = number(call, 0.0, amps_max)) write(call.answer, *amps);
  });
  on("INPut[:STATe]", [this](ScpiCall& call) {
    if (const auto state = boolean(call)) switch_input(*state);
  });
  on("INPut[:STATe]?", [this](ScpiCall& call) { call.answer += terminals().load.on ? '1' : '0'; });
  add_protection("[SOURce:]CURRent:PROTection", trip_amps_max, terminals().load.over_amps);
  add_protection("[SOURce:]VOLTage:PROTection", volts_max, terminals().load.over_volts);
  add_cutoff();
}

void SimLoad::add_cutoff() {
  on("INPut:CUT", [this](ScpiCall& call) {
    const auto volts = number(call, 0.0, volts_max);
    if (!volts) return;
    auto& limit = terminals().load.cutoff.limit;
    limit = *volts > 0.0 ? std::optional<Volt>(Volt(*volts)) : std::nullopt;
    terminals().changed();
  });
  on("INPut:CUT?",
     [this](ScpiCall& call) { write(call.answer, terminals().load.cutoff.limit.value_or(Volt(0.0)).si()); });
  on("INPut:CUT:TRIPped?",
     [this](ScpiCall& call) { call.answer += terminals().load.cutoff.tripped ? '1' : '0'; });
  on("INPut:CUT:CLEar", [this](ScpiCall&) { terminals().load.cutoff.tripped = false; });
}

bool SimLoad::is_tripped() const {
  const LoadCircuit& load = terminals().load;
  return load.cutoff.tripped || load.over_amps.tripped || load.over_volts.tripped;
}

void SimLoad::switch_input(bool state) {
  if (!state && has_fault(Fault::ignores_off)) return;
  if (state && is_tripped()) return error(-221, "Settings conflict;tripped, clear it first");
  const Ampere before = terminals().load_amps();
  terminals().load.on = state;
  terminals().changed();
  jumped(before);
}

void SimLoad::set_draw(double amps) {
  if (has_fault(Fault::ignores_off) && amps < set_amps_) return;
  const Ampere before = terminals().load_amps();
  set_amps_ = amps;
  terminals().load.draw = Ampere(amps > 0.0 ? std::max(source_.biased(amps), 0.0) : 0.0);
  terminals().changed();
  jumped(before);
}

void SimLoad::reset() {
  terminals().load.on = false;
  terminals().load.draw = Ampere(0.0);
  terminals().load.cutoff = {};
  set_amps_ = 0.0;
  reset_protections();
  terminals().changed();
}

std::uint16_t SimLoad::questionable() const {
  const LoadCircuit& load = terminals().load;
  const unsigned bits = (load.over_volts.tripped ? 1U : 0U) | (load.over_amps.tripped ? 2U : 0U) |
                        (load.cutoff.tripped ? 0x200U : 0U);
  return static_cast<std::uint16_t>(bits);
}

}  // namespace leadwright
