// SPDX-License-Identifier: Apache-2.0
#include "tools/simtest_world/observer.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace leadwright {

namespace {

/// stale_ms of the simulated profiles.
constexpr Second load_fresh{1.0};
constexpr Second charger_fresh{2.0};
/// What a place takes for a charger's, whose profiles say nothing of it.
constexpr Second charger_settles{1.0};
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
  for (const std::string& name : world.sim().place_names()) spots_.emplace_back().name = name;
  for (Spot& spot : spots_) spot.posts = world.sim().terminals(spot.name);
  tell_wiring(world_.sim());
}

void Observer::tell_wiring(SimBench& sim) {
  const SimSpeech of_chargers = shape_.bench.chargers.value_or(shape_.bench.speech);
  const auto watched = [](SimSpeech speech, Second fresh) {
    const bool modbus = speech == SimSpeech::modbus;
    return WatchedInstrument{modbus ? WireEar::Kind::modbus : WireEar::Kind::scpi, fresh, modbus};
  };
  WatchedInstrument charger = watched(of_chargers, charger_fresh);
  charger.settles = charger_settles;
  const auto watch = [this](const std::string& link, const WatchedInstrument& instrument) {
    promises_.add(link, instrument);
    reactions_.add(link, instrument);
  };
  const auto remember = [this, &sim](const std::string& instrument) {
    const auto address = sim.address(instrument);
    if (address && std::ranges::find(plugs_, address->line, &Plug::line) == plugs_.end())
      plugs_.push_back({address->line, &world_.cable(address->line), false});
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
      watch(place.charger, charger);
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
  for (Spot& spot : spots_) {
    spot.place = world_.bench().place(spot.name);
    promises_.run_goes_on(spot.name, std::nullopt);
    const Going ended = std::exchange(spot.ended, {});
    if (spot.going.run == RunId{}) {
      if (ended.run != RunId{}) spot.cut = ended;
      continue;
    }
    spot.cut = std::exchange(spot.going, {});
    spot.cut.drew_when_cut = spot.cut.drew_when_cut || spot.drew;
  }
  for (const auto& [id, file] : world_.bench().ledger().files()) {
    if (file.grade) graded_at_[id] = file.grade->at;
  }
  look();
}

void Observer::daemon_dies() {
  look();
  for (Spot& spot : spots_) {
    spot.died_at = world_.clock().now();
    spot.drew = spot.load > Ampere(0.0);
  }
  promises_.daemon_died(world_.clock().now());
  reactions_.daemon_died();
}

void Observer::daemon_died() {
  const auto stored = world_.store().load();
  promises_.kept(*stored, world_.store().audit(), world_.clock().now());
}

void Observer::crossing(const std::string& link, bool outward, std::string_view bytes, Instant at) {
  promises_.crossing(link, outward, bytes, at);
  reactions_.crossed({link, promises_.ear(link), promises_.is_broken(link)}, outward, bytes, at);
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
    reactions_.line_out("memory:" + plug.line, is_out);
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
    promises_.flows(spot.name, load, charger, now);
    if (spot.going.own && !spot.going.exchanged) {
      promises_.worked(spot.going.ticket, load, charger, now);
      if (charger > Ampere(0.0)) spot.gassing = spot.going.ticket;
      if (spot.load <= heavy_draw && load > heavy_draw) tally_.add("heavy draws");
    }
    spot.load = load;
    spot.charger = charger;
    if (charger <= Ampere(0.0)) end_of_charge(spot);
  }
  if (world_.is_alive()) hear(spot);
}

void Observer::end_of_charge(Spot& spot) {
  if (spot.gassing) promises_.worked(*spot.gassing, Ampere(0.0), Ampere(0.0), world_.clock().now());
  spot.gassing.reset();
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
    reactions_.says(spot.name, spot.trip, now);
  }
  look_at_run(spot);
}

void Observer::requested(const Request& request) {
  if (request.verb == "place.acknowledge" && request.body.find(R"("of":"trip")") != std::string::npos)
    promises_.trip_acknowledged(request.subject);
}

void Observer::answered(const Answered& answered) {
  const Request& request = answered.request;
  const std::string& verb = request.verb;
  tally_.add(answered.response.status < 300 ? "requests done" : "requests refused");
  if (answered.response.status == 409 && answered.response.body.find("gas ") != std::string::npos)
    tally_.add("requests refused for the gas");
  const bool changes = verb.starts_with("ticket.") || verb == "place.stop" || verb == "place.acknowledge";
  const bool asks = verb == "ticket.show" || verb == "ticket.list";
  if (answered.response.status >= 300 || !changes || asks) return;
  // As the journal says it: by code. A copy, since nothing here may give one.
  PersonBook people = world_.bench().people();
  AuditEntry row{{}, people.coded(request.actor), verb, request.subject, ""};
  if (verb == "ticket.add") row.subject = text_of(answered.response.body, "ticket");
  if (verb == "place.acknowledge") row.what.append(".").append(text_of(request.body, "of"));
  promises_.acknowledged(row);
  if (!verb.starts_with("ticket.")) return;
  const auto ticket = parse_ticket_id(row.subject);
  if (!ticket) return;
  const bool leaves = verb == "ticket.close" ||
                      (verb == "ticket.move" && text_of(request.body, "place") != answered.stood_at);
  const bool was_clamped = !answered.stood_at.empty() && answered.stood_at != SimBench::shelf;
  if (leaves && was_clamped) {
    tally_.add("unclampings allowed");
    if (text_of(request.body, "why").empty()) promises_.unclamped(*ticket, answered.asked_at);
  }
  promises_.ticket_promised(*ticket, verb == "ticket.close");
  if (verb != "ticket.close") return;
  const TicketFile& file = *world_.bench().ledger().find(*ticket);
  CountingBattery* const battery = crew_.battery(Crew::own_battery(file));
  // What another ticket's run drew from it, it never learns.
  const auto& worked_on = worked_on_[Crew::own_battery(file)];
  if (battery == nullptr || std::ranges::any_of(worked_on, [&](TicketId id) { return id != *ticket; }))
    return;
  (void)given(Crew::own_battery(file));
  promises_.left(*ticket, *closing_of(text_of(request.body, "as")), battery->lacks(),
                 file.battery.nameplate.c20->value, world_.clock().now());
}

}  // namespace leadwright
