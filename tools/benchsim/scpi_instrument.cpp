// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/scpi_instrument.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <utility>

namespace leadwright {

namespace {

std::string identity(std::string_view role, const std::string& serial, double scale) {
  std::array<char, 32> text{};
  const auto [end, bad] = std::to_chars(text.data(), text.data() + text.size(), scale);
  return "Leadwright,simulated " + std::string(role) + "," + serial + ",sim-" + std::string(text.data(), end);
}

}  // namespace

ScpiInstrument::ScpiInstrument(std::string_view role, const SimInstrumentOptions& options, Terminals& posts,
                               const Clock& bench)
    : SimInstrument(options, posts, bench), ScpiDevice(identity(role, options.serial, bench.scale())) {}

void ScpiInstrument::exchange(std::string_view bytes, std::string& answers) {
  if (!has_mains()) return;
  if (!has_fault(Fault::no_answer)) {
    receive(bytes, answers);
    return;
  }
  unheard_.clear();
  receive(bytes, unheard_);
}

void ScpiInstrument::reset() {
  reset_parts();
}

void ScpiInstrument::fault_changed(Fault fault, bool on) {
  if (fault == Fault::wrong_identity) impersonate(on ? "Elsewhere,another instrument,0,1.0" : "");
}

void ScpiInstrument::add_measurements(std::function<double()> volts, std::function<double()> amps) {
  on("MEASure[:SCALar]:VOLTage[:DC]?",
     [volts = std::move(volts)](ScpiCall& call) { write(call.answer, volts()); });
  on("MEASure[:SCALar]:CURRent[:DC]?",
     [amps = std::move(amps)](ScpiCall& call) { write(call.answer, amps()); });
}

void ScpiInstrument::add_setting(std::string_view node, double most, std::function<void(double)> set,
                                 std::function<double()> get) {
  on(node, [this, most, set = std::move(set)](ScpiCall& call) {
    if (const auto value = number(call, 0.0, most)) set(*value);
  });
  on(std::string(node) + "?", [this, most, get = std::move(get)](ScpiCall& call) {
    if (call.argument.empty()) return write(call.answer, get());
    if (const auto value = number(call, 0.0, most)) write(call.answer, *value);
  });
}

void ScpiInstrument::add_switch(std::string_view node, std::function<bool(bool)> turn,
                                std::function<bool()> is_on) {
  on(node, [this, turn = std::move(turn)](ScpiCall& call) {
    const auto state = boolean(call);
    if (state && !turn(*state)) error(-221, "Settings conflict;tripped, clear it first");
  });
  on(std::string(node) + "?",
     [is_on = std::move(is_on)](ScpiCall& call) { call.answer += is_on() ? '1' : '0'; });
}

void ScpiInstrument::add_protection(std::string_view node, std::vector<Protection*> protections) {
  const std::string path(node);
  Protection& first = *protections.front();
  on(path + "[:LEVel]", [this, protections](ScpiCall& call) {
    const auto level = number(call, 0.0, protections.front()->level_max());
    if (!level) return;
    for (Protection* each : protections) each->set_level(*level);
  });
  on(path + "[:LEVel]?", [&first](ScpiCall& call) { write(call.answer, first.level()); });
  on(path + ":STATe", [this, protections](ScpiCall& call) {
    const auto enabled = boolean(call);
    if (!enabled) return;
    for (Protection* each : protections) each->enable(*enabled);
  });
  on(path + ":STATe?", [&first](ScpiCall& call) { call.answer += first.is_enabled() ? '1' : '0'; });
  on(path + ":TRIPped?", [protections](ScpiCall& call) {
    const auto is_tripped = [](const Protection* each) { return each->is_tripped(); };
    call.answer += std::any_of(protections.begin(), protections.end(), is_tripped) ? '1' : '0';
  });
  on(path + ":CLEar", [protections](ScpiCall&) {
    for (Protection* each : protections) each->clear();
  });
}

void ScpiInstrument::add_cutoff(LoadPart& load) {
  on("INPut:CUT", [this, &load](ScpiCall& call) {
    if (const auto volts = number(call, 0.0, load.rating().volts_max)) load.set_cutoff(*volts);
  });
  on("INPut:CUT?", [&load](ScpiCall& call) { write(call.answer, load.cutoff()); });
  on("INPut:CUT:TRIPped?", [&load](ScpiCall& call) { call.answer += load.cutoff_tripped() ? '1' : '0'; });
  on("INPut:CUT:CLEar", [&load](ScpiCall&) { load.clear_cutoff(); });
}

}  // namespace leadwright
