// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/wiring_commands.h"

#include <fmt/format.h>

#include <algorithm>

#include "tools/benchsim/cable_words.h"
#include "tools/benchsim/command_words.h"

namespace leadwright {

namespace {

/// "box-1.3": a box and one of its eight outputs or inputs.
struct Numbered {
  RelayBox* box = nullptr;
  int number = 0;
};

Result<Numbered> numbered(SimBench& bench, std::string_view name) {
  const std::size_t dot = std::min(name.rfind('.'), name.size());
  RelayBox* box = bench.relay_box(name.substr(0, dot));
  const auto number = number_word(name.substr(std::min(dot + 1, name.size())), 0, RelayPart::outputs - 1);
  if (!box || !number) {
    return fail(Errc::not_found, "no such output or input", std::string(name), "write BOX.0 to BOX.7");
  }
  return Numbered{box, *number};
}

}  // namespace

std::string cable_command(SimBench& bench, std::string_view rest) {
  const std::string_view name = take_word(rest);
  const SimLine* line = bench.line(name);
  if (!line) return fmt::format("error: no line {}; lines shows them", name);
  Cable& cable = *line->cable();
  if (rest == "out") {
    cable.pull();
  } else if (rest == "in") {
    cable.put_back();
  } else if (rest == "take") {
    cable.take();
  } else if (rest == "release") {
    cable.release();
  } else if (rest == "mend") {
    cable.mend();
  } else {
    const auto fault = read_cable_fault(rest);
    if (!fault) return failed(fault.error());
    cable.strike(*fault);
  }
  return "ok";
}

std::string swap_command(SimBench& bench, std::string_view rest) {
  const std::string_view one = take_word(rest);
  const auto swapped = bench.swap_lines(one, rest);
  return swapped ? "ok" : failed(swapped.error());
}

std::string wire_command(SimBench& bench, std::string_view rest) {
  const auto wired = bench.wire(rest);
  return wired ? "ok" : failed(wired.error());
}

std::string relay_command(SimBench& bench, std::string_view rest) {
  const auto output = numbered(bench, take_word(rest));
  if (!output) return failed(output.error());
  const auto fault = relay_fault_of(rest);
  if (!fault) return "error: say stuck_open, welded, ignored or sound";
  output->box->set_relay_fault(output->number, *fault);
  return "ok";
}

std::string input_command(SimBench& bench, std::string_view rest) {
  const auto input = numbered(bench, take_word(rest));
  if (!input) return failed(input.error());
  if (rest != "on" && rest != "off") return "error: say on or off";
  input->box->relays().set_input(input->number, rest == "on");
  return "ok";
}

std::string contacts_command(SimBench& bench, std::string_view rest) {
  RelayBox* box = bench.relay_box(rest);
  if (!box) return fmt::format("error: no relay box {}", rest);
  box->begin();
  std::string coils;
  std::string contacts;
  std::string inputs;
  for (int i = 0; i < RelayPart::outputs; ++i) {
    coils += box->relays().coil(i) ? '1' : '0';
    contacts += box->relays().is_closed(i) ? '1' : '0';
    inputs += box->relays().input(i) ? '1' : '0';
  }
  return fmt::format("ok: coils {}, contacts {}, inputs {}, each from 0 to 7", coils, contacts, inputs);
}

std::string joined_command(SimBench& bench, std::string_view) {
  std::string all;
  for (const JoinedPlaces& joined : bench.joined()) {
    all += fmt::format("{}{} at {:.3f} s, {:.0f} A", all.empty() ? "" : " | ",
                       fmt::join(joined.places, " and "), (joined.at - Instant()).si(), joined.exchange.si());
  }
  return "ok: " + (all.empty() ? "never" : all);
}

std::string instruments_command(SimBench& bench, std::string_view) {
  std::string all;
  for (const std::string& name : bench.instrument_names()) {
    const auto address = bench.address(name);
    all += fmt::format("{}{} on {} as unit {}", all.empty() ? "" : " | ", name, address->line, address->unit);
  }
  return "ok: " + (all.empty() ? "no instrument" : all);
}

std::string lines_command(SimBench& bench, std::string_view) {
  std::string all;
  for (const auto& line : bench.lines()) {
    all += fmt::format("{}{} {}", all.empty() ? "" : " | ", line->name(), word(line->speech()));
  }
  return "ok: " + (all.empty() ? "no line" : all);
}

}  // namespace leadwright
