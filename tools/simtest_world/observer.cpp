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

/// Text after `"key":"`, up to the next quote.
std::string text_of(const std::string& json, const std::string& key) {
  const std::string head = fmt::format(R"("{}":")", key);
  const std::size_t from = json.find(head);
  if (from == std::string::npos) return {};
  const std::size_t begin = from + head.size();
  return json.substr(begin, json.find('"', begin) - begin);
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
      reactions_(tally),
      due_(world.clock()) {
  for (const std::string& name : world.sim().place_names())
    spots_.push_back({name, world.sim().terminals(name), {}, {}, {}});
  tell_wiring(world_.sim());
}

void Observer::tell_wiring(SimBench& sim) {
  const SimSpeech of_chargers = shape_.bench.chargers.value_or(shape_.bench.speech);
  const auto watched = [](SimSpeech speech, Second fresh) {
    const bool modbus = speech == SimSpeech::modbus;
    return WatchedInstrument{modbus ? WireEar::Kind::modbus : WireEar::Kind::scpi, fresh, modbus};
  };
  const auto watch = [this](const std::string& link, const WatchedInstrument& instrument) {
    promises_.add(link, instrument);
    reactions_.add(link, instrument);
  };
  const auto remember = [this, &sim](const std::string& instrument) {
    if (const auto address = sim.address(instrument)) cables_[address->line] = &world_.cable(address->line);
  };
  const Switchgear gear = shape_.bench.switchgear;
  const bool isolated = gear == Switchgear::isolators || gear == Switchgear::both;
  const std::string box = link_of(sim, "box-1");
  if (!box.empty()) watch(box, {WireEar::Kind::relay_box, box_fresh, true});
  const std::string shared = link_of(sim, "load-1");
  if (!shared.empty()) watch(shared, watched(SimSpeech::scpi, load_fresh));
  for (const char* name : {"box-1", "load-1"}) remember(name);
  for (const Spot& spot : spots_) {
    WatchedPlace place;
    place.has_isolator = isolated;
    place.load = link_of(sim, spot.name + ".load");
    place.charger = link_of(sim, spot.name + ".charger");
    if (const std::string unit = link_of(sim, spot.name + ".two_quadrant"); !unit.empty()) {
      place.load = place.charger = unit;
      watch(unit, watched(SimSpeech::scpi, load_fresh));
    } else {
      if (!place.load.empty()) watch(place.load, watched(shape_.bench.speech, load_fresh));
      watch(place.charger, watched(of_chargers, charger_fresh));
    }
    const bool shares = place.load.empty() && !shared.empty() && spot.name.starts_with("bay");
    if (shares) place.load = shared;
    if (isolated || shares) place.boxes.push_back(box);
    for (const char* role : {".load", ".charger", ".two_quadrant"}) remember(spot.name + role);
    promises_.add(spot.name, place);
    reactions_.add(spot.name, place);
  }
}

void Observer::daemon_began() {
  promises_.daemon_began(world_.clock().now());
  world_.bench().on_run_ended = [this](const Place& place, const RunResult& result) {
    run_ended(place, result);
  };
  for (Spot& spot : spots_) spot.going = {};
  for (const auto& [id, file] : world_.bench().ledger().files()) {
    if (file.grade) graded_at_[id] = file.grade->at;
  }
  look();
}

void Observer::daemon_dies() {
  look();
  promises_.daemon_died(world_.clock().now());
  reactions_.daemon_died();
}

void Observer::daemon_died() {
  const auto stored = world_.store().load();
  promises_.kept(*stored, world_.store().audit(), world_.clock().now());
}

void Observer::crossing(const std::string& link, bool outward, std::string_view bytes, Instant at) {
  promises_.crossing(link, outward, bytes, at);
  reactions_.crossed(link, promises_.ear(link), outward, bytes, at);
}

void Observer::look() {
  const Instant now = world_.clock().now();
  for (const auto& [line, cable] : cables_) {
    const bool is_out = cable->is_out(now) || cable->is_taken() || mischief_.is_swapped(line);
    if (bool& was_out = out_[line]; was_out != is_out) {
      was_out = is_out;
      promises_.line_out("memory:" + line, is_out, now);
      reactions_.line_out("memory:" + line, is_out);
    }
  }
  if (world_.store().backlog() == 0) store_idle_at_ = now;
  if (now - store_idle_at_ > store_late_after) promises_.store_is_late(now);
  promises_.joined(world_.sim().joined().size(), now);
  for (Spot& spot : spots_) look_at(spot, false);
  // What an instrument did by itself shows only at a settled instant, so nothing is judged before.
  if (promises_.next_due() < now) {
    for (Spot& spot : spots_) look_at(spot, true);
    promises_.time(now);
  }
  arm();
}

void Observer::arm() {
  const Instant due = promises_.next_due();
  const Instant now = world_.clock().now();
  if (due == Instant::never()) return due_.cancel();
  due_.set(std::max(due + Second(1e-6), now + Second(1e-3)), [] {});
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
  if (!world_.is_alive()) return;
  const Place& place = *world_.bench().place(spot.name);
  const RunExecution* run = place.run();
  const int cells = run != nullptr ? run->order().battery.nameplate.cells : 0;
  promises_.too_low(spot.name, load > Ampere(0.0) && spot.posts->volts() < cell_volts_min * cells, now);
  promises_.says(spot.name, place.trip(), !place.problem().empty(), now);
  reactions_.says(spot.name, place.trip(), now);
  look_at_run(spot);
}

void Observer::look_at_run(Spot& spot) {
  const RunExecution* run = world_.bench().place(spot.name)->run();
  if (run == nullptr) {
    spot.going = {};
    return;
  }
  Going& going = spot.going;
  going.peak = std::max({going.peak, spot.load, spot.charger});
  const std::string there = crew_.clamped(spot.name);
  if (going.run == run->order().run.id) {
    going.exchanged = going.exchanged || there != going.battery;
    return;
  }
  going = {};
  going.run = run->order().run.id;
  going.battery = there;
  going.given = given(there);
  going.since = world_.clock().now();
  const TicketFile* file = world_.bench().ledger().find(run->order().run.ticket);
  going.own = file != nullptr && Crew::own_battery(*file) == there;
  if (!there.empty() && file != nullptr) worked_on_[there].insert(file->ticket.id);
  const auto& expected = run->order().expected;
  going.no_meter_could_tell = !expected;
  if (expected && !there.empty()) {
    const Volt off = world_.sim().battery(there)->battery->terminal(Ampere(0.0)) - expected->volts;
    going.no_meter_could_tell =
        off > -(expected->below_max + meters_apart) && off < expected->above_max + meters_apart;
  }
}

Coulomb Observer::given(const std::string& battery) const {
  if (battery.empty()) return Coulomb(0.0);
  (void)world_.sim().battery(battery);
  return crew_.battery(battery)->given();
}

Coulomb Observer::allowance(const Going& going, Coulomb given) const {
  const bool meters_lie = std::ranges::any_of(
      shape_.strikes, [](const auto& strike) { return strike.first.starts_with("sim."); });
  const bool wires_lie =
      !shape_.links.is_quiet() || std::ranges::any_of(shape_.strikes, [](const auto& strike) {
        return strike.first.starts_with("cable.") || strike.first.starts_with("mains.");
      });
  if (meters_lie || going.exchanged || going.battery.empty()) return Coulomb(-1.0);
  const Second lasted = world_.clock().now() - going.since;
  // Between switching on and the first sample, and after the last one; a draw has three stages.
  Coulomb allowed = abs(given) * 0.001 + going.peak * Second(2.0);
  // 0.1 % and 10 mA of the worse meter, by its profile.
  if (!shape_.bench.ideal) allowed += abs(given) * 0.002 + Ampere(0.02) * lasted;
  // A flipped digit that stays inside the envelope is believed once; what is missing is interpolated.
  if (wires_lie) allowed += abs(given) * 0.01 + going.peak * Second(20.0);
  return allowed;
}

void Observer::run_ended(const Place& place, const RunResult& result) {
  const Instant now = world_.clock().now();
  const auto spot = std::ranges::find(spots_, place.name(), &Spot::name);
  const TicketFile& file = *world_.bench().ledger().find(result.run.ticket);
  Going going = spot->going;
  if (going.run != result.run.id) going = {};
  going.exchanged = going.exchanged || crew_.clamped(place.name()) != going.battery;
  EndedRunSeen seen;
  seen.run = result.run.id;
  seen.ticket = result.run.ticket;
  seen.outcome = result.run.outcome;
  seen.procedure = result.run.procedure;
  seen.own_battery = going.own && !going.exchanged;
  seen.was_deceived =
      crew_.deceived().contains(result.run.ticket) || going.no_meter_could_tell || going.exchanged;
  seen.place_tripped = !place.trip().empty();
  seen.recorded = result.moved;
  seen.given = given(going.battery) - going.given;
  seen.allowed = allowance(going, seen.given);
  tally_.add(result.began ? std::string("runs ") + word(result.run.outcome) : "runs refused");
  if (result.began && seen.allowed >= Coulomb(0.0) && seen.outcome == RunOutcome::complete)
    tally_.add("ampere-hours compared");
  promises_.ended(seen, now);
  for (const Finding& finding : result.findings) promises_.shown(finding, now);
  tally_.add("findings", result.findings.size());
  tally_.add("faults found", result.faults.size());
  if (seen.outcome == RunOutcome::complete) ++completed_[Crew::own_battery(file)];
  if (!file.ticket.needs_recharge && seen.own_battery && seen.outcome == RunOutcome::complete &&
      (result.run.procedure == "standard charge" || result.run.procedure == "recharge before leaving")) {
    crew_.battery(going.battery)->filled();
  }
  if (file.grade && graded_at_[file.ticket.id] != file.grade->at) {
    graded_at_[file.ticket.id] = file.grade->at;
    promises_.graded(file.ticket.id, file.findings, now);
    promises_.shown(*file.grade, now);
    tally_.add(std::string("grades ") + file.grade->letter);
  }
}

int Observer::completed(const std::string& battery) const {
  const auto found = completed_.find(battery);
  return found == completed_.end() ? 0 : found->second;
}

void Observer::requested(const Request& request) {
  if (request.verb == "place.acknowledge" && request.body.find(R"("of":"trip")") != std::string::npos)
    promises_.trip_acknowledged(request.subject);
}

void Observer::answered(const Answered& answered) {
  const Request& request = answered.request;
  const std::string& verb = request.verb;
  tally_.add(answered.response.status < 300 ? "requests done" : "requests refused");
  const bool changes = verb.starts_with("ticket.") || verb == "place.stop" || verb == "place.acknowledge";
  const bool asks = verb == "ticket.show" || verb == "ticket.list";
  if (answered.response.status >= 300 || !changes || asks) return;
  AuditEntry row{{}, request.actor, verb, request.subject, ""};
  if (verb == "ticket.add") row.subject = text_of(answered.response.body, "ticket");
  if (verb == "place.acknowledge") row.what.append(".").append(text_of(request.body, "of"));
  promises_.acknowledged(row);
  if (!verb.starts_with("ticket.")) return;
  const auto ticket = parse_ticket_id(row.subject);
  if (!ticket) return;
  promises_.ticket_promised(*ticket, verb == "ticket.close");
  if (verb != "ticket.close") return;
  const TicketFile& file = *world_.bench().ledger().find(*ticket);
  CountingBattery* const battery = crew_.battery(Crew::own_battery(file));
  if (battery == nullptr || worked_on_[Crew::own_battery(file)].size() > 1) return;
  (void)given(Crew::own_battery(file));
  promises_.left(*ticket, *closing_of(text_of(request.body, "as")), battery->lacks(),
                 file.battery.nameplate.c20->value, world_.clock().now());
}

}  // namespace leadwright
