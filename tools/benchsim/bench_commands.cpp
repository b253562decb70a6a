// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/bench_commands.h"

#include <fmt/format.h>

#include "tools/benchsim/battery_spec.h"
#include "tools/benchsim/command_words.h"
#include "tools/benchsim/wiring_commands.h"

namespace leadwright {

namespace {

std::string put(SimBench& bench, bool onto_posts, std::string_view rest) {
  const std::string_view where = take_word(rest);
  auto battery = make_battery(rest);
  if (!battery) return failed(battery.error());
  if (onto_posts) {
    auto name = bench.plug(where, std::move(*battery));
    return name ? "ok: " + *name : failed(name.error());
  }
  auto shelved = bench.shelve(std::string(where), std::move(*battery));
  return shelved ? "ok" : failed(shelved.error());
}

std::string plug(SimBench& bench, std::string_view rest) {
  return put(bench, true, rest);
}

std::string add(SimBench& bench, std::string_view rest) {
  return put(bench, false, rest);
}

std::string move(SimBench& bench, std::string_view rest) {
  const std::string_view from = take_word(rest);
  auto moved = bench.move(from, rest);
  return moved ? "ok" : failed(moved.error());
}

std::string unplug(SimBench& bench, std::string_view rest) {
  auto moved = bench.unplug(rest);
  return moved ? "ok" : failed(moved.error());
}

std::string fault(SimBench& bench, std::string_view rest) {
  const std::string_view name = take_word(rest);
  SimInstrument* instrument = bench.instrument(name);
  if (!instrument) return "error: no instrument " + std::string(name);
  const auto fault = sim_fault_of(take_word(rest));
  if (!fault) return "error: faults are " + sim_fault_words();
  if (rest != "on" && rest != "off") return "error: say on or off";
  instrument->set_fault(*fault, rest == "on");
  return "ok";
}

std::string power(SimBench& bench, std::string_view rest) {
  SimInstrument* instrument = bench.instrument(rest);
  if (!instrument) return "error: no instrument " + std::string(rest);
  instrument->power_cycle();
  return "ok";
}

std::string mains(SimBench& bench, std::string_view rest) {
  const std::string_view name = take_word(rest);
  SimInstrument* instrument = bench.instrument(name);
  if (!instrument) return "error: no instrument " + std::string(name);
  if (rest == "out") {
    instrument->lose_mains();
  } else if (rest == "back" || rest == "back as_it_was") {
    instrument->restore_mains(rest != "back");
  } else {
    return "error: say out, back (it comes up off) or back as_it_was";
  }
  return "ok";
}

std::string truth(SimBench& bench, std::string_view of) {
  const StandingBattery* standing = bench.battery(of);
  if (!standing) return "error: no battery there and none of that name";
  const std::string refusal = standing->battery->charge_refusal();
  return fmt::format("ok: {:.3f} min at 25 A from full; {}{}", as_minutes(standing->battery->truth_at_25a()),
                     standing->battery->description(),
                     refusal.empty() ? "" : "; takes no charge: " + refusal);
}

std::string posts(SimBench& bench, std::string_view place) {
  const StandingBattery* standing = bench.battery(place);
  const Terminals* terminals = bench.terminals(place);
  if (!standing || !terminals) return "error: no battery stands there";
  return fmt::format("ok: load {} {:.3f} A, charger {} {:.3f} A, {:.3f} V{}",
                     terminals->load.on ? "on" : "off", terminals->load_amps().si(),
                     terminals->charger.on ? "on" : "off", terminals->charger_amps().si(),
                     terminals->volts().si(), terminals->is_isolated() ? ", isolated" : "");
}

std::string list(SimBench& bench, std::string_view) {
  std::string all;
  for (const std::string& battery : bench.batteries()) all.append(all.empty() ? "" : " | ").append(battery);
  return "ok: " + (all.empty() ? "no battery" : all);
}

struct Command {
  const char* verb;
  const char* words;
  const char* what;
  std::string (*act)(SimBench&, std::string_view);
};

constexpr const char* plug_help =
    "a new battery onto the posts of a place: cell:KIND[,key=value]..., replay:/FILE or lithium";
constexpr const char* cable_help =
    "lost, late S, truncated N, dropped N, doubled, split N S, flipped BIT, rubbish N or endless, then "
    "question, after N, times N, always; strikes the next answer unless told";

constexpr Command commands[] = {
    {"plug", "PLACE SPEC", plug_help, plug},
    {"add", "NAME SPEC", "a new battery onto the shelf", add},
    {"move", "FROM TO", "FROM is a battery or a place, TO a place or \"shelf\"", move},
    {"unplug", "PLACE", "to the shelf", unplug},
    {"fault", "INSTRUMENT FAULT on|off", "something is wrong with it; an unknown FAULT lists them", fault},
    {"power", "INSTRUMENT", "off and on again", power},
    {"mains", "INSTRUMENT out|back [as_it_was]", "back: it comes up off, or on if it was on", mains},
    {"cable", "LINE FAULT...", cable_help, cable_command},
    {"cable", "LINE out|in|take|release|mend", "pulled, put back, the port taken by another, freed, all well",
     nullptr},
    {"swap", "LINE LINE", "their plugs change places", swap_command},
    {"wire", "BOX.N isolates PLACE", "an output in series with the battery of a place", wire_command},
    {"wire", "BOX.N connects SHARED to PLACE", "an output puts a shared instrument onto a place", nullptr},
    {"relay", "BOX.N stuck_open|welded|ignored|sound", "what is wrong with an output", relay_command},
    {"input", "BOX.N on|off", "a contact at a digital input", input_command},
    {"contacts", "BOX", "coils, contacts and inputs as they are", contacts_command},
    {"joined", "", "every time that batteries of several places were joined", joined_command},
    {"truth", "NAME|PLACE", "minutes at 25 A, and why no charger can charge it", truth},
    {"posts", "PLACE", "what flows there now, whatever the instruments say", posts},
    {"list", "", "every battery", list},
    {"instruments", "", "every instrument with its line", instruments_command},
    {"lines", "", "every line with what it speaks", lines_command},
};

std::string verbs() {
  std::string all;
  std::string_view last;
  for (const Command& command : commands) {
    if (command.verb == last) continue;
    last = command.verb;
    all.append(all.empty() ? "" : ", ").append(command.verb);
  }
  return all;
}

}  // namespace

std::string bench_command(SimBench& bench, std::string_view line) {
  std::string_view rest = trim_words(line);
  const std::string_view verb = take_word(rest);
  if (verb.empty()) return "error: say one of " + verbs();
  for (const Command& command : commands) {
    if (verb != command.verb) continue;
    if (rest.empty() && *command.words != '\0') return fmt::format("error: write {} {}", verb, command.words);
    return command.act(bench, rest);
  }
  return fmt::format("error: no such command: {}; there are {}", verb, verbs());
}

std::string bench_command_help() {
  std::string help;
  for (const Command& command : commands) {
    const std::string words = fmt::format("{} {}", command.verb, command.words);
    help += fmt::format("  {:<46} {}\n", words, command.what);
  }
  return help;
}

}  // namespace leadwright
