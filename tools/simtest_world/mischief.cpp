// SPDX-License-Identifier: Apache-2.0
#include "tools/simtest_world/mischief.h"

#include <fmt/format.h>

#include <algorithm>

namespace leadwright {

namespace {
constexpr double share_at_work = 0.7;
constexpr Second store_heals_in{20.0};
constexpr Second kill_lasts{5.0};
/// Where nobody is there to start it again at once.
constexpr Second long_kill_lasts{60.0};
constexpr double share_long = 0.2;
/// A machine whose disk fails is often started anew.
constexpr double share_restarted = 0.3;
constexpr Second restarted_in{2.0};
constexpr Second room_heals_in{20.0};
}  // namespace

Mischief::Mischief(World& world, const WorldShape& shape, Crew& crew, Promises& promises, Tally& tally)
    : world_(world),
      shape_(shape),
      crew_(crew),
      promises_(promises),
      tally_(tally),
      dice_(shape.seed, "mischief") {
  for (const auto& [name, mean] : shape_.strikes) due_[name] = now() + dice_.wait(mean);
}

Instant Mischief::next() const {
  Instant next = Instant::never();
  for (const auto& [name, at] : due_) next = std::min(next, at);
  for (const Healing& healing : healings_) next = std::min(next, healing.at);
  return next;
}

void Mischief::turn() {
  for (auto& [name, at] : due_) {
    if (at > now()) continue;
    at = now() + dice_.wait(shape_.strikes.at(name));
    strike(name);
  }
  // Healing may not strike, but it is in the list while it heals.
  std::vector<Healing> due;
  std::erase_if(healings_, [&](const Healing& healing) {
    if (healing.at > now()) return false;
    due.push_back(healing);
    return true;
  });
  for (const Healing& healing : due) healing.heal();
}

void Mischief::mend_all() {
  due_.clear();
  const std::vector<Healing> all = std::move(healings_);
  healings_.clear();
  for (const Healing& healing : all) healing.heal();
  for (const std::string& name : world_.sim().instrument_names()) world_.cable(line_of(name)).mend();
  note("everything is mended");
}

void Mischief::heal_in(Second mean, std::function<void()> heal) {
  heal_after(Second(0.05) + dice_.wait(mean), std::move(heal));
}

void Mischief::heal_after(Second wait, std::function<void()> heal) {
  healings_.push_back({now() + wait, std::move(heal)});
}

std::string Mischief::line_of(const std::string& instrument) const {
  return world_.sim().address(instrument)->line;
}

std::string Mischief::busy_place() {
  std::vector<std::string> busy;
  if (world_.is_alive()) {
    for (const auto& place : world_.bench().places()) {
      if (place->run() != nullptr) busy.push_back(place->name());
    }
  }
  if (!busy.empty() && dice_.chance(share_at_work)) return dice_.pick(busy);
  return dice_.pick(crew_.equipped_places());
}

std::string Mischief::some_instrument() {
  const std::vector<std::string> all = world_.sim().instrument_names();
  const std::string place = busy_place();
  std::vector<std::string> there;
  std::ranges::copy_if(all, std::back_inserter(there),
                       [&](const std::string& name) { return name.starts_with(place + "."); });
  return !there.empty() && dice_.chance(share_at_work) ? dice_.pick(there) : dice_.pick(all);
}

void Mischief::strike(const FaultName& name) {
  const std::string kind = name.substr(name.find('.') + 1);
  const bool struck = name.starts_with("cable.")     ? strike_cable(kind)
                      : name.starts_with("sim.")     ? strike_instrument(kind)
                      : name.starts_with("mains.")   ? strike_mains(kind)
                      : name.starts_with("battery.") ? strike_battery(kind)
                      : name.starts_with("store.")   ? strike_store(kind)
                      : name.starts_with("box.")     ? strike_box(kind)
                      : name.starts_with("room.")    ? strike_room(kind)
                                                     : kill();
  if (struck) tally_.add("fault " + name);
}

bool Mischief::kill() {
  if (!world_.is_alive()) return false;
  on_kill(Second(0.1) + dice_.wait(dice_.chance(share_long) ? long_kill_lasts : kill_lasts));
  return true;
}

bool Mischief::strike_store(const std::string& name) {
  note("the store: " + name);
  store_.insert(name);
  apply_store_plan();
  if (name == "fail" && dice_.chance(share_restarted)) heal_in(restarted_in, [this] { kill(); });
  heal_in(store_heals_in, [this, name] {
    store_.erase(store_.find(name));
    apply_store_plan();
  });
  return true;
}

void Mischief::apply_store_plan() {
  StorePlan plan = shape_.store;
  if (store_.contains("fail")) plan.fail_share = 0.5;
  if (store_.contains("stall")) plan.stall_share = 0.3;
  if (store_.contains("late")) plan.latency_max = Second(2.0);
  world_.store().change_plan(plan);
  promises_.store_fails(!store_.empty(), now());
  if (store_.empty()) note("the store is sound");
}

bool Mischief::strike_room(const std::string& name) {
  RelayBox* const box = world_.sim().relay_box("box-1");
  if (box == nullptr || !shape_.bench.alarms) return false;
  const int input = name == "stop" ? 0 : name == "smoke" ? 1 : name == "gas" ? 2 : 3;
  note("the room: " + name);
  box->relays().set_input(input, false);
  heal_in(room_heals_in, [box, input] { box->relays().set_input(input, true); });
  return true;
}

bool Mischief::strike_battery(const std::string& name) {
  const std::string place = busy_place();
  const std::string there = crew_.clamped(place);
  if (there.empty()) return false;
  note(place + ": " + name);
  if (name == "clamp_lost") {
    crew_.carry(there, std::string(SimBench::shelf));
    heal_in(Second(30.0), [this, place, there] {
      if (crew_.clamped(place).empty()) crew_.carry(there, place);
    });
  } else if (name == "exchanged") {
    const std::string other_place = dice_.pick(crew_.equipped_places());
    const std::string other = crew_.clamped(other_place);
    crew_.carry(there, std::string(SimBench::shelf));
    crew_.carry(other, place);
    if (other_place != place) crew_.carry(there, other_place);
  } else {
    crew_.spoil_clamps(place,
                       Ohm(name == "clamp_bad" ? dice_.between(0.005, 0.1) : dice_.between(0.5, 20.0)));
    heal_in(Second(30.0), [this, place] { crew_.spoil_clamps(place, Ohm(0.0)); });
  }
  return true;
}

}  // namespace leadwright
