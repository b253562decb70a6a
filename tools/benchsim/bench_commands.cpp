// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/bench_commands.h"

#include <fmt/format.h>

#include <array>
#include <charconv>

#include "tools/benchsim/battery_spec.h"

namespace leadwright {

namespace {

std::string_view trim(std::string_view text) {
  while (!text.empty() && static_cast<unsigned char>(text.front()) <= ' ') text.remove_prefix(1);
  while (!text.empty() && static_cast<unsigned char>(text.back()) <= ' ') text.remove_suffix(1);
  return text;
}

std::string_view take_word(std::string_view& rest) {
  rest = trim(rest);
  const std::string_view word = rest.substr(0, rest.find(' '));
  rest = trim(rest.substr(word.size()));
  return word;
}

std::string failed(const Error& error) {
  return "error: " + error.line();
}

std::string put(SimBench& bench, bool onto_posts, std::string_view where, std::string_view spec) {
  auto battery = make_battery(spec);
  if (!battery) return failed(battery.error());
  if (onto_posts) {
    auto name = bench.plug(where, std::move(*battery));
    return name ? "ok: " + *name : failed(name.error());
  }
  auto shelved = bench.shelve(std::string(where), std::move(*battery));
  return shelved ? "ok" : failed(shelved.error());
}

std::string set_fault(SimBench& bench, std::string_view name, std::string_view rest) {
  SimInstrument* instrument = bench.instrument(name);
  if (!instrument) return "error: no instrument " + std::string(name);
  const auto fault = SimInstrument::fault_of(take_word(rest));
  if (!fault) return "error: faults are ignores_off, stuck_reading, no_answer, wrong_identity";
  if (rest != "on" && rest != "off") return "error: say on or off";
  instrument->set_fault(*fault, rest == "on");
  return "ok";
}

std::string truth(SimBench& bench, std::string_view of) {
  const StandingBattery* standing = bench.battery(of);
  if (!standing) return "error: no battery there and none of that name";
  std::array<char, 32> text{};
  const double minutes = as_minutes(standing->battery->truth_at_25a());
  const auto [end, bad] =
      std::to_chars(text.data(), text.data() + text.size(), minutes, std::chars_format::fixed, 3);
  const std::string refusal = standing->battery->charge_refusal();
  return "ok: " + std::string(text.data(), end) + " min at 25 A from full; " +
         standing->battery->description() + (refusal.empty() ? "" : "; takes no charge: " + refusal);
}

std::string posts(SimBench& bench, std::string_view place) {
  const StandingBattery* standing = bench.battery(place);
  const Terminals* terminals = bench.terminals(place);
  if (!standing || !terminals) return "error: no battery stands there";
  return fmt::format("ok: load {} {:.3f} A, charger {} {:.3f} A, {:.3f} V", terminals->load.on ? "on" : "off",
                     terminals->load_amps().si(), terminals->charger.on ? "on" : "off",
                     terminals->charger_amps().si(), terminals->volts().si());
}

}  // namespace

std::string bench_command(SimBench& bench, std::string_view line) {
  std::string_view rest = trim(line);
  const std::string_view verb = take_word(rest);
  if (verb == "list") {
    std::string all;
    for (const std::string& battery : bench.batteries()) all += (all.empty() ? "" : " | ") + battery;
    return "ok: " + (all.empty() ? "no battery" : all);
  }
  const std::string_view first = take_word(rest);
  if (first.empty())
    return "error: plug, add, move, unplug, fault, power, truth, posts or list, with their names";
  if (verb == "plug" || verb == "add") return put(bench, verb == "plug", first, rest);
  if (verb == "move" || verb == "unplug") {
    auto moved = bench.move(first, verb == "move" ? rest : SimBench::shelf);
    return moved ? "ok" : failed(moved.error());
  }
  if (verb == "fault") return set_fault(bench, first, rest);
  if (verb == "power") {
    SimInstrument* instrument = bench.instrument(first);
    if (!instrument) return "error: no instrument " + std::string(first);
    instrument->power_cycle();
    return "ok";
  }
  if (verb == "truth") return truth(bench, first);
  if (verb == "posts") return posts(bench, first);
  return "error: no such command: " + std::string(verb);
}

}  // namespace leadwright
