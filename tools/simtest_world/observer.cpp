// SPDX-License-Identifier: Apache-2.0
#include "tools/simtest_world/observer.h"

#include <fmt/format.h>

#include <algorithm>

namespace leadwright {

namespace {

/// Meters differ so much, and clamps may drop as much, before "another battery" shows by its volts.
constexpr Volt meters_apart{0.1};
/// stale_ms of the simulated profiles.
constexpr Second load_fresh{1.0};
constexpr Second charger_fresh{2.0};
constexpr Second box_fresh{1.0};
/// volts_min of every shipped procedure that draws.
constexpr Volt cell_volts_min{1.5};
/// A sound store is never so long without rest.
constexpr Second store_late_after{5.0};

std::string link_of(const SimBench& sim, const std::string& instrument) {
  const auto address = sim.address(instrument);
  return address ? "memory:" + address->line : std::string();
}

}  // namespace

Observer::Observer(World& world, const WorldShape& shape, Crew& crew, Mischief& mischief, Promises& promises,
                   Tally& tally)
    : world_(world),
      shape_(shape),
      crew_(crew),
      mischief_(mischief),
      promises_(promises),
      tally_(tally),
      due_(world.clock()) {
  for (const std::string& name : world.sim().place_names()) spots_.emplace_back().name = name;
  for (Spot& spot : spots_) spot.posts = world.sim().terminals(spot.name);
  tell_wiring();
}

void Observer::tell_wiring() {
  SimBench& sim = world_.sim();
  const SimSpeech of_chargers = shape_.bench.chargers.value_or(shape_.bench.speech);
  const auto watched = [](SimSpeech speech, Second fresh) {
    const bool modbus = speech == SimSpeech::modbus;
    return WatchedInstrument{modbus ? WireEar::Kind::modbus : WireEar::Kind::scpi, fresh, modbus};
  };
  const auto remember = [this, &sim](const std::string& instrument) {
    const auto address = sim.address(instrument);
    if (address && std::ranges::find(plugs_, address->line, &Plug::line) == plugs_.end())
      plugs_.push_back({address->line, &world_.cable(address->line), false});
  };
  const Switchgear gear = shape_.bench.switchgear;
  const bool isolated = gear == Switchgear::isolators || gear == Switchgear::both;
  const std::string box = link_of(sim, "box-1");
  if (!box.empty()) promises_.add(box, {WireEar::Kind::relay_box, box_fresh, true});
  const std::string shared = link_of(sim, "load-1");
  if (!shared.empty()) promises_.add(shared, watched(SimSpeech::scpi, load_fresh));
  for (const char* name : {"box-1", "load-1"}) remember(name);
  for (const Spot& spot : spots_) {
    WatchedPlace place;
    place.has_isolator = isolated;
    place.load = link_of(sim, spot.name + ".load");
    place.charger = link_of(sim, spot.name + ".charger");
    if (const std::string unit = link_of(sim, spot.name + ".two_quadrant"); !unit.empty()) {
      place.load = place.charger = unit;
      promises_.add(unit, watched(SimSpeech::scpi, load_fresh));
    } else {
      if (!place.load.empty()) promises_.add(place.load, watched(shape_.bench.speech, load_fresh));
      promises_.add(place.charger, watched(of_chargers, charger_fresh));
    }
    const bool shares = place.load.empty() && !shared.empty() && spot.name.starts_with("bay");
    if (shares) place.load = shared;
    if (isolated || shares) place.boxes.push_back(box);
    for (const char* role : {".load", ".charger", ".two_quadrant"}) remember(spot.name + role);
    promises_.add(spot.name, place);
  }
}

void Observer::daemon_began() {
  promises_.daemon_began(world_.clock().now());
  world_.bench().on_run_ended = [this](const Place& place, const RunResult& result) {
    run_ended(place, result);
  };
  for (Spot& spot : spots_) {
    spot.going = {};
    promises_.run_goes_on(spot.name, std::nullopt);
    spot.place = world_.bench().place(spot.name);
  }
  for (const auto& [id, file] : world_.bench().ledger().files()) {
    if (file.grade) graded_at_[id] = file.grade->at;
  }
  look();
}

void Observer::daemon_dies() {
  look();
  promises_.daemon_died(world_.clock().now());
}

void Observer::daemon_died() {
  const auto stored = world_.store().load();
  promises_.kept(*stored, world_.store().audit(), world_.clock().now());
}

void Observer::crossing(const std::string& link, bool outward, std::string_view bytes, Instant at) {
  promises_.crossing(link, outward, bytes, at);
}

void Observer::look() {
  const Instant now = world_.clock().now();
  look_at_plugs();
  if (world_.store().backlog() == 0) store_idle_at_ = now;
  if (now - store_idle_at_ > store_late_after) promises_.store_is_late(now);
  promises_.joined(world_.sim().joined().size(), now);
  for (Spot& spot : spots_) look_at(spot, false);
  Instant due = promises_.next_due();
  // What an instrument did by itself shows only at a settled instant, so nothing is judged before.
  if (due < now) {
    for (Spot& spot : spots_) look_at(spot, true);
    promises_.time(now);
    due = promises_.next_due();
  }
  arm(due);
}

void Observer::look_at_plugs() {
  const Instant now = world_.clock().now();
  for (Plug& plug : plugs_) {
    const bool is_out = plug.cable->is_out(now) || plug.cable->is_taken() || mischief_.is_swapped(plug.line);
    if (is_out == plug.was_out) continue;
    plug.was_out = is_out;
    promises_.line_out("memory:" + plug.line, is_out, now);
  }
}

/// Each good sample puts it off: the timer fires where it was, and is armed anew then.
void Observer::arm(Instant due) {
  if (due == Instant::never()) return;
  const Instant at = std::max(due + Second(1e-6), world_.clock().now() + Second(1e-3));
  if (armed_ <= at) return;
  armed_ = at;
  due_.set(at, [this] { armed_ = Instant::never(); });
}

void Observer::look_at(Spot& spot, bool settled) {
  const Instant now = world_.clock().now();
  const bool both = spot.posts->load_amps() > Ampere(0.0) && spot.posts->charger_amps() > Ampere(0.0);
  if (settled || both) spot.posts->settle(now);
  const Ampere load = spot.posts->load_amps();
  const Ampere charger = spot.posts->charger_amps();
  if (load != spot.load || charger != spot.charger) {
    spot.load = load;
    spot.charger = charger;
    promises_.flows(spot.name, load, charger, now);
  }
  if (world_.is_alive()) hear(spot);
}

void Observer::hear(Spot& spot) {
  const Instant now = world_.clock().now();
  const Place& place = *spot.place;
  const RunExecution* run = place.run();
  const int cells = run != nullptr ? run->order().battery.nameplate.cells : 0;
  const bool is_too_low = spot.load > Ampere(0.0) && spot.posts->volts() < cell_volts_min * cells;
  if (is_too_low != spot.is_too_low) {
    spot.is_too_low = is_too_low;
    promises_.too_low(spot.name, is_too_low, now);
  }
  const bool has_problem = !place.problem().empty();
  if (has_problem != spot.has_problem || place.trip() != spot.trip) {
    spot.has_problem = has_problem;
    spot.trip = place.trip();
    promises_.says(spot.name, spot.trip, has_problem, now);
  }
  look_at_run(spot);
}

void Observer::look_at_run(Spot& spot) {
  const RunExecution* run = spot.place->run();
  Going& going = spot.going;
  if (run == nullptr) {
    if (going.run == RunId{}) return;
    going = {};
    promises_.run_goes_on(spot.name, std::nullopt);
    return;
  }
  going.peak = std::max({going.peak, spot.load, spot.charger});
  const StandingBattery* const clamped = spot.posts->battery();
  const std::string_view there = clamped == nullptr ? std::string_view() : clamped->name;
  if (going.run == run->order().run.id) {
    if (there == going.battery) return;
    going.exchanged = true;
    if (clamped != nullptr) worked_on_[clamped->name].insert(run->order().run.ticket);
    return;
  }
  going = {};
  going.run = run->order().run.id;
  going.battery = there;
  going.given = given(going.battery);
  going.since = world_.clock().now();
  promises_.run_goes_on(spot.name, going.since);
  const TicketFile* file = world_.bench().ledger().find(run->order().run.ticket);
  going.own = file != nullptr && Crew::own_battery(*file) == there;
  if (clamped != nullptr && file != nullptr) worked_on_[going.battery].insert(file->ticket.id);
  const auto& expected = run->order().expected;
  going.no_meter_could_tell = !expected;
  if (expected && clamped != nullptr) {
    const Volt off = clamped->battery->terminal(Ampere(0.0)) - expected->volts;
    going.no_meter_could_tell =
        off > -(expected->below_max + meters_apart) && off < expected->above_max + meters_apart;
  }
}

Coulomb Observer::given(const std::string& battery) const {
  if (battery.empty()) return Coulomb(0.0);
  (void)world_.sim().battery(battery);
  return crew_.battery(battery)->given();
}

}  // namespace leadwright
