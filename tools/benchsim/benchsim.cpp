// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/benchsim.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <utility>

#include "tools/benchsim/bench_parts.h"

namespace leadwright {

const char* word(SimLine::Speech speech) {
  switch (speech) {
    case SimLine::Speech::scpi:
      return "SCPI";
    case SimLine::Speech::modbus_rtu:
      return "Modbus RTU";
    case SimLine::Speech::modbus_tcp:
      return "Modbus TCP";
  }
  return "";
}

std::vector<std::string> SimBench::instrument_names() const {
  std::vector<std::string> names;
  for (const auto& each : instruments_) names.push_back(each->instrument->name());
  return names;
}

SimBench::Equipped* SimBench::equipped(std::string_view instrument) const {
  for (const auto& each : instruments_) {
    if (each->instrument->name() == instrument) return each.get();
  }
  return nullptr;
}

SimInstrument* SimBench::instrument(std::string_view name) {
  const Equipped* found = equipped(name);
  return found ? found->instrument.get() : nullptr;
}

RelayBox* SimBench::relay_box(std::string_view name) {
  const Equipped* found = equipped(name);
  return found && found->kind == Equipped::Kind::relay_box ? dynamic_cast<RelayBox*>(found->instrument.get())
                                                           : nullptr;
}

SimLine* SimBench::line(std::string_view name) {
  for (const auto& line : lines_) {
    if (line->name() == name) return line.get();
  }
  return nullptr;
}

std::optional<SimBench::Address> SimBench::address(std::string_view instrument) const {
  const Equipped* found = equipped(instrument);
  return found ? std::optional<Address>(found->address) : std::nullopt;
}

Result<void> SimBench::swap_lines(std::string_view one, std::string_view other) {
  SimLine* first = line(one);
  SimLine* second = line(other);
  if (!first || !second) {
    return fail(Errc::not_found, "no such line", std::string(first ? other : one), "lines shows them");
  }
  first->swap(*second);
  return {};
}

void SimBench::add_to(MemoryLinkFactory& factory, const FaultPlan& faults) {
  FaultPlan of_link = faults;
  for (const auto& line : lines_) {
    factory.add(line->name(), *line, of_link, line->cable());
    ++of_link.seed;
  }
}

std::vector<std::string> SimBench::place_names() const {
  std::vector<std::string> names;
  for (const auto& place : places_) names.push_back(place->name);
  return names;
}

SimBench::Place* SimBench::place_of(std::string_view name) {
  for (const auto& place : places_) {
    if (place->name == name) return place.get();
  }
  return nullptr;
}

Terminals* SimBench::terminals(std::string_view place) {
  Place* found = place_of(place);
  return found ? &found->terminals : nullptr;
}

SimBench::Standing* SimBench::standing(std::string_view name_or_place) {
  for (const auto& battery : batteries_) {
    if (battery->name == name_or_place || (battery->place && battery->place->name == name_or_place)) {
      return battery.get();
    }
  }
  return nullptr;
}

SimBench::Standing& SimBench::take_in(std::string name, std::unique_ptr<SimBattery> battery) {
  Standing& standing = *batteries_.emplace_back(std::make_unique<Standing>());
  standing.name = std::move(name);
  standing.battery = std::move(battery);
  standing.lived_to = bench_.now();
  return standing;
}

Result<void> SimBench::shelve(std::string name, std::unique_ptr<SimBattery> battery) {
  if (name == shelf || place_of(name) || standing(name)) {
    return fail(Errc::conflict, "the name is taken", name, "give another");
  }
  take_in(std::move(name), std::move(battery));
  return {};
}

Result<std::string> SimBench::plug(std::string_view place, std::unique_ptr<SimBattery> battery,
                                   std::string name) {
  const Place* to = place_of(place);
  if (!to) return fail(Errc::not_found, "no such place", std::string(place), "list shows the places");
  if (to->terminals.battery())
    return fail(Errc::conflict, "the place is taken", std::string(place), "unplug it first");
  while (name.empty() || (name.starts_with("battery-") && standing(name)))
    name = "battery-" + std::to_string(++named_);
  if (auto shelved = shelve(name, std::move(battery)); !shelved) return pass(shelved);
  if (auto moved = move(name, place); !moved) return pass(moved);
  return name;
}

Result<void> SimBench::move(std::string_view from, std::string_view to) {
  Standing* carried = standing(from);
  if (!carried) return fail(Errc::not_found, "no battery there and none of that name", std::string(from));
  Place* target = place_of(to);
  if (!target && to != shelf)
    return fail(Errc::not_found, "no such place", std::string(to), "list shows the places");
  if (carried->place == target) return {};
  if (target && target->terminals.battery()) {
    return fail(Errc::conflict, "the place is taken", std::string(to), "unplug it first");
  }
  const Instant now = bench_.now();
  live_to_now(*carried);
  if (carried->place) carried->place->terminals.clamp(nullptr, now);
  carried->place = target;
  if (target) target->terminals.clamp(carried, now);
  contacts_.update();
  return {};
}

void SimBench::live_to_now(Standing& standing) {
  const Instant now = bench_.now();
  if (standing.place) {
    standing.place->terminals.settle(now);
  } else if (now > standing.lived_to) {
    standing.battery->advance(now - standing.lived_to, Ampere(0.0));
    standing.lived_to = now;
  }
}

const StandingBattery* SimBench::battery(std::string_view name_or_place) {
  Standing* found = standing(name_or_place);
  if (found) live_to_now(*found);
  return found;
}

std::vector<std::string> SimBench::batteries() {
  std::vector<std::string> lines;
  for (const auto& battery : batteries_) {
    live_to_now(*battery);
    const Volt volts =
        battery->place ? battery->place->terminals.volts() : battery->battery->terminal(Ampere(0.0));
    std::array<char, 32> text{};
    const auto [end, bad] =
        std::to_chars(text.data(), text.data() + text.size(), volts.si(), std::chars_format::fixed, 3);
    lines.push_back(battery->name + " at " + (battery->place ? battery->place->name : std::string(shelf)) +
                    ": " + std::string(text.data(), end) + " V, " + battery->battery->description());
  }
  return lines;
}

}  // namespace leadwright
