// SPDX-License-Identifier: Apache-2.0
// Strikes on what is wired: cables, instruments, their mains, relay boxes.
#include <fmt/format.h>

#include "tools/simtest_world/mischief.h"

namespace leadwright {

namespace {

constexpr Second heals_in{30.0};
constexpr Second plug_back_in{15.0};
/// What comes back as it was has no watchdog armed until the next run.
constexpr Second rearmed_within{60.0};

}  // namespace

/// The identity of a Modbus unit is its model: two of one model answer alike, and no daemon can know.
bool Mischief::tells_apart(const std::string& line, const std::string& other) const {
  const auto role = [](const std::string& name) { return name.substr(name.find('.') + 1); };
  const WorldOptions& bench = shape_.bench;
  const bool is_modbus = role(line) == "charger" ? bench.chargers.value_or(bench.speech) == SimSpeech::modbus
                                                 : bench.speech == SimSpeech::modbus;
  return !is_modbus || role(line) != role(other);
}

bool Mischief::strike_cable(const std::string& name) {
  const std::string instrument = some_instrument();
  const std::string line = line_of(instrument);
  Cable& cable = world_.cable(line);
  note(fmt::format("cable {}: {}", line, name));
  if (name == "pulled") {
    cable.pull();
    heal_in(plug_back_in, [&cable] { cable.put_back(); });
    return true;
  }
  if (name == "taken") {
    cable.take();
    heal_in(plug_back_in, [&cable] { cable.release(); });
    return true;
  }
  if (name == "swapped") {
    const std::string other = line_of(some_instrument());
    if (other == line || swapped_.contains(line) || swapped_.contains(other)) return false;
    if (!tells_apart(line, other)) return false;
    if (!world_.sim().swap_lines(line, other)) return false;
    for (const std::string& plug : {line, other}) {
      swapped_.insert(plug);
      promises_.other_answers("memory:" + plug, true, now());
    }
    heal_in(heals_in, [this, line, other] {
      (void)world_.sim().swap_lines(line, other);
      for (const std::string& plug : {line, other}) {
        swapped_.erase(plug);
        promises_.other_answers("memory:" + plug, false, now());
      }
    });
    return true;
  }
  const int some = 1 + dice_.below(3);
  CableFault fault = CableFault::lost();
  if (name == "late") fault = CableFault::late(Second(dice_.between(0.05, 2.0)));
  if (name == "truncated") fault = CableFault::truncated(some);
  if (name == "dropped") fault = CableFault::dropped(dice_.below(8));
  if (name == "doubled") fault = CableFault::doubled();
  if (name == "split") fault = CableFault::split(some + 1, Second(dice_.between(0.001, 0.2)));
  if (name == "flipped") fault = CableFault::flipped(dice_.below(100));
  if (name == "rubbish") fault = CableFault::rubbish(4 * some);
  if (name == "endless") fault = CableFault::endless();
  fault = fault.in_a_row(some);
  if (name != "late" && name != "endless" && name != "split" && dice_.chance(0.3))
    fault = fault.of_questions();
  cable.strike(fault);
  if (name == "endless") heal_in(plug_back_in, [&cable] { cable.mend(); });
  return true;
}

bool Mischief::strike_instrument(const std::string& name) {
  const std::string chosen = some_instrument();
  SimInstrument* const instrument = world_.sim().instrument(chosen);
  const auto fault = sim_fault_of(name);
  if (!fault || instrument->has_fault(*fault)) return false;
  note(fmt::format("{}: {}", chosen, name));
  const auto set = [this, instrument, chosen, fault = *fault](bool on) {
    instrument->set_fault(fault, on);
    const std::string link = "memory:" + line_of(chosen);
    promises_.broken(link, on);
    if (fault == SimFault::wrong_identity) promises_.other_answers(link, on, now());
    if (chosen != "box-1") return;
    for (const std::string& place : crew_.equipped_places()) promises_.broken(place, on);
  };
  set(true);
  heal_in(heals_in, [set] { set(false); });
  return true;
}

bool Mischief::strike_mains(const std::string& name) {
  const std::string chosen = some_instrument();
  SimInstrument* const instrument = world_.sim().instrument(chosen);
  if (!instrument->has_mains()) return false;
  note(fmt::format("{}: mains {}", chosen, name));
  if (name == "cycled") {
    instrument->power_cycle();
    return true;
  }
  const std::string link = "memory:" + line_of(chosen);
  const auto broken = [this, link, chosen](bool on) {
    promises_.broken(link, on);
    if (chosen != "box-1") return;
    for (const std::string& place : crew_.equipped_places()) promises_.broken(place, on);
  };
  broken(true);
  instrument->lose_mains();
  heal_in(plug_back_in, [this, instrument, broken, as_it_was = name == "back_as_it_was"] {
    instrument->restore_mains(as_it_was);
    heal_after(rearmed_within, [broken] { broken(false); });
  });
  return true;
}

bool Mischief::strike_box(const std::string& name) {
  RelayBox* const box = world_.sim().relay_box("box-1");
  const auto fault = relay_fault_of(name);
  if (box == nullptr || !fault) return false;
  const int output = dice_.below(RelayPart::outputs);
  // A contact welds where it is made or carries current; one that is open does not close by itself.
  if (*fault == RelayFault::welded && !box->relays().is_closed(output)) return false;
  note(fmt::format("box-1 output {}: {}", output, name));
  const auto broken = [this](bool on) {
    for (const std::string& place : crew_.equipped_places()) promises_.broken(place, on);
  };
  broken(true);
  box->set_relay_fault(output, *fault);
  heal_in(heals_in, [box, output, broken] {
    box->set_relay_fault(output, RelayFault::none);
    broken(false);
  });
  return true;
}

}  // namespace leadwright
