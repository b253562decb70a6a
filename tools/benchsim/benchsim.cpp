// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/benchsim.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <utility>

#include "tools/benchsim/sim_charger.h"
#include "tools/benchsim/sim_load.h"
#include "tools/benchsim/sim_thermometer.h"

namespace leadwright {

struct SimBench::Place {
  std::string name;
  Terminals terminals;
};

struct SimBench::Standing : StandingBattery {
  Place* place = nullptr;  // null: on the shelf
};

/// One instrument, as a memory link sees it.
class SimBench::Device final : public MemoryDevice {
 public:
  Device(std::string name, std::unique_ptr<SimInstrument> instrument, Second answer_after)
      : name_(std::move(name)), instrument_(std::move(instrument)), answer_after_(answer_after) {}
  const std::string& name() const { return name_; }
  SimInstrument& instrument() { return *instrument_; }
  void receive(std::string_view bytes, MemoryPort& port) override {
    answers_.clear();
    instrument_->exchange(bytes, answers_);
    if (!answers_.empty()) port.deliver(answers_, answer_after_);
  }

 private:
  std::string name_;
  std::unique_ptr<SimInstrument> instrument_;
  Second answer_after_;
  std::string answers_;
};

SimBench::SimBench(SimBenchOptions options, const Clock& bench) : options_(options), bench_(bench) {
  for (int i = 1; i <= options_.bays; ++i) add_place("bay-" + std::to_string(i), true);
  for (int i = 1; i <= options_.charging_places; ++i) add_place("charge-" + std::to_string(i), false);
}

SimBench::~SimBench() = default;

void SimBench::add_place(std::string name, bool has_load) {
  Place& place = *places_.emplace_back(std::make_unique<Place>());
  place.name = std::move(name);
  const auto add = [&](const char* role, auto make) {
    std::string full = place.name + "." + role;
    std::unique_ptr<SimInstrument> instrument =
        make(SimInstrumentOptions{full, options_.ideal, options_.seed});
    devices_.push_back(
        std::make_unique<Device>(std::move(full), std::move(instrument), options_.answer_after));
  };
  Terminals& posts = place.terminals;
  if (has_load) add("load", [&](auto o) { return std::make_unique<SimLoad>(std::move(o), posts, bench_); });
  add("charger", [&](auto o) { return std::make_unique<SimCharger>(std::move(o), posts, bench_); });
  add("thermometer", [&](auto o) { return std::make_unique<SimThermometer>(std::move(o), posts, bench_); });
}

std::vector<std::string> SimBench::instrument_names() const {
  std::vector<std::string> names;
  for (const auto& device : devices_) names.push_back(device->name());
  return names;
}

SimInstrument* SimBench::instrument(std::string_view name) {
  for (const auto& device : devices_) {
    if (device->name() == name) return &device->instrument();
  }
  return nullptr;
}

void SimBench::add_to(MemoryLinkFactory& factory, const FaultPlan& faults) {
  FaultPlan of_link = faults;
  for (const auto& device : devices_) {
    factory.add(device->name(), *device, of_link);
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
