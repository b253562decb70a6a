// SPDX-License-Identifier: Apache-2.0
// The promises about what flows: 1 freshness, 2 one_way, 3 shouted, 8 safe_start, 10 apart, 12 limits,
// 13 right_one, 14 gas_gone.
#include <fmt/format.h>

#include <algorithm>

#include "tools/simtest_world/promises.h"

namespace leadwright {

namespace {

/// below_a of the profiles: less is what the bench takes for off.
constexpr Ampere flows_min{0.2};
/// From the decision to the bytes: a half-duplex line waits for the frame that is due (timeout_ms of the
/// profiles is 300 ms), and both leave room for the exchange itself.
constexpr Second off_within_scpi{0.1};
constexpr Second off_within_modbus{0.45};
/// A daemon that starts says off to every instrument before it asks any.
constexpr Second off_after_start{5.0};
/// The longest back-off between two attempts at a lost link, and the attempt.
constexpr Second off_after_return{45.0};
/// Off is tried again and proved before a place is tripped for it.
constexpr Second shout_within{30.0};
/// value_s of the watchdogs of the simulated profiles, and half a second for the last message that fed it.
constexpr Second watchdog_within{5.5};
/// What was shown so long, with a store that works, must have reached it.
constexpr Second durable_within{60.0};

}  // namespace

void Promises::add(const std::string& link, const WatchedInstrument& instrument) {
  links_.insert_or_assign(link, Heard{instrument, WireEar(instrument.kind)});
}

void Promises::add(const std::string& place, const WatchedPlace& wiring) {
  Seen& seen = places_[place];
  seen.wiring = wiring;
  seen.load.heard = heard(wiring.load);
  seen.charger.heard = heard(wiring.charger);
}

Promises::Heard* Promises::heard(const std::string& link) {
  const auto found = links_.find(link);
  return found == links_.end() ? nullptr : &found->second;
}

void Promises::broke(const char* promise, Instant at, const std::string& what) {
  violations_.push_back({promise, at, what});
}

void Promises::daemon_began(Instant at) {
  alive_ = true;
  began_ = at;
  told_.clear();
  for (auto& [link, heard] : links_) {
    heard.ear.daemon_began();
    heard.other_since.reset();
  }
}

void Promises::daemon_died(Instant at) {
  alive_ = false;
  died_ = at;
  for (auto& [name, seen] : places_) {
    seen.trip_at_death = seen.trip;
    // What it had not stored by now, no time makes stored.
    seen.keeps_trip = must_be_kept(seen.tripped_at, at);
  }
}

void Promises::crossing(const std::string& link, bool outward, std::string_view bytes, Instant at) {
  const auto found = links_.find(link);
  if (found == links_.end()) return;
  Heard& heard = found->second;
  if (outward && WireEar::switches_on(heard.instrument.kind, bytes)) {
    check_start(link, at);
    check_right_one(link, heard, at);
  }
  heard.ear.hear(outward, bytes, at);
}

void Promises::check_start(const std::string& link, Instant at) {
  const auto serves = [&link](const Seen& seen) {
    return seen.wiring.load == link || seen.wiring.charger == link;
  };
  const auto need = [&](const std::string& other) {
    const auto found = links_.find(other);
    if (found == links_.end() || found->second.ear.is_proved()) return;
    broke("safe_start", at, fmt::format("{} is switched on before {} was proved off", link, other));
  };
  need(link);
  for (const auto& [name, seen] : places_) {
    if (!serves(seen)) continue;
    need(seen.wiring.load);
    need(seen.wiring.charger);
    for (const std::string& box : seen.wiring.boxes) need(box);
  }
}

void Promises::check_right_one(const std::string& link, const Heard& heard, Instant at) {
  if (!heard.other_since) return;
  for (const auto& [name, seen] : places_) {
    const bool serves = seen.wiring.load == link || seen.wiring.charger == link;
    if (!serves || !seen.run_since || *seen.run_since <= *heard.other_since) continue;
    if (!told_.insert(name + " right_one").second) continue;
    broke("right_one", at,
          fmt::format("{} is switched on for {}, and another instrument answers there for {:.2f} s", link,
                      name, (at - *heard.other_since).si()));
  }
}

void Promises::other_answers(const std::string& link, bool does, Instant at) {
  const auto found = links_.find(link);
  if (found == links_.end()) return;
  Heard& heard = found->second;
  heard.others += does ? 1 : -1;
  if (heard.others == 0) heard.other_since.reset();
  if (does && heard.others == 1 && heard.ear.is_proved()) heard.other_since = at;
}

void Promises::line_out(const std::string& link, bool is_out, Instant at) {
  const auto found = links_.find(link);
  if (found == links_.end()) return;
  if (found->second.is_out && !is_out) found->second.back_at = at;
  found->second.is_out = is_out;
}

void Promises::broken(const std::string& link_or_place, bool is_broken) {
  const int reasons = is_broken ? 1 : -1;
  if (const auto found = links_.find(link_or_place); found != links_.end()) found->second.broken += reasons;
  if (const auto found = places_.find(link_or_place); found != places_.end()) found->second.broken += reasons;
}

bool Promises::is_broken(const std::string& link) const {
  const auto found = links_.find(link);
  return found != links_.end() && found->second.broken != 0;
}

void Promises::flows(const std::string& place, Ampere load, Ampere charger, Instant at) {
  Seen& seen = places_[place];
  const auto take = [at](Side& side, Ampere amps) {
    const bool flows = amps > flows_min;
    if (flows && !side.flows) side.since = at;
    side.flows = flows;
  };
  take(seen.load, load);
  take(seen.charger, charger);
  if (seen.load.flows && seen.charger.flows && told_.insert(place + " one_way").second) {
    broke("one_way", at,
          fmt::format("{}: load {:.2f} A and charger {:.2f} A", place, load.si(), charger.si()));
  }
}

void Promises::says(const std::string& place, const std::string& trip, bool has_problem, Instant at) {
  Seen& seen = places_[place];
  seen.has_problem = has_problem;
  if (trip == seen.trip) return;
  if (trip.empty()) {
    if (seen.acknowledged) seen.acknowledged_at = at;
    const bool after_restart = at == began_ && !seen.trip_at_death.empty();
    if (after_restart && !seen.acknowledged && seen.keeps_trip) {
      broke("shouted", at, fmt::format("{}: the trip \"{}\" is gone after a restart", place, seen.trip));
    } else if (!after_restart && !seen.acknowledged) {
      broke("shouted", at,
            fmt::format("{}: the trip \"{}\" is gone and nobody acknowledged it", place, seen.trip));
    }
  } else if (seen.trip.empty()) {
    seen.tripped_at = at;
  }
  seen.acknowledged = false;
  seen.trip = trip;
}

bool Promises::must_be_kept(Instant since, Instant at) const {
  return !store_fails_ && at - std::max(since, store_failed_at_) >= durable_within;
}

void Promises::too_low(const std::string& place, bool is_too_low, Instant at) {
  Seen& seen = places_[place];
  if (!is_too_low) {
    seen.low_since.reset();
  } else if (!seen.low_since) {
    seen.low_since = at;
  }
}

Instant Promises::low_due(const Seen& seen) const {
  if (!alive_ || !seen.low_since || !seen.load.flows || seen.load.heard == nullptr) return Instant::never();
  const Heard& heard = *seen.load.heard;
  if (heard.broken != 0 || heard.is_out) return Instant::never();
  const Instant reachable = std::max(began_ + off_after_start, heard.back_at + off_after_return);
  return std::max(*seen.low_since, reachable) + heard.instrument.fresh * (4.0 / 3.0) + off_within_modbus;
}

void Promises::worked(TicketId ticket, Ampere load, Ampere charger, Instant at) {
  Gas& gas = gas_[ticket];
  const bool flows = charger > Ampere(0.0);
  if (flows || gas.flows) gas.since = at;
  gas.flows = flows;
  if (load <= heavy_draw || gas.was_broken || !has_gas(gas, at)) return;
  gas.was_broken = true;
  broke("gas_gone", at,
        fmt::format("{:.1f} A are drawn from the battery of {}, {:.1f} s after its charge", load.si(),
                    leadwright::shown(ticket), (at - *gas.since).si()));
}

void Promises::unclamped(TicketId ticket, Instant asked_at) {
  const Gas& gas = gas_[ticket];
  if (!has_gas(gas, asked_at)) return;
  broke("gas_gone", asked_at,
        fmt::format("the battery of {} may be unclamped {:.1f} s after its charge, and nobody said why",
                    leadwright::shown(ticket), (asked_at - *gas.since).si()));
}

void Promises::joined(std::size_t times, Instant at) {
  if (times > joined_) broke("apart", at, "two batteries were joined");
  joined_ = times;
}

Instant Promises::due(const Seen& seen, const Side& side) const {
  if (!side.flows || side.heard == nullptr) return Instant::never();
  const Heard& heard = *side.heard;
  const WireEar& ear = heard.ear;
  if (!alive_) {
    const bool by_itself = heard.instrument.has_watchdog && heard.broken == 0;
    const bool by_isolator = seen.wiring.has_isolator && seen.broken == 0;
    if (side.since > died_ || (!by_itself && !by_isolator)) return Instant::never();
    return died_ + watchdog_within;
  }
  const Second off_within = ear.kind() == WireEar::Kind::scpi ? off_within_scpi : off_within_modbus;
  const Instant spoiled =
      std::max(ear.good_at(), ear.on_at()) + heard.instrument.fresh * (4.0 / 3.0) + off_within;
  const bool is_asked_for = ear.on_at() > ear.off_at();
  const Instant reachable = std::max(began_ + off_after_start, heard.back_at + off_after_return);
  if (is_asked_for && !heard.is_out) return std::max(spoiled, reachable);
  return std::max({is_asked_for ? spoiled : ear.off_at(), side.since, reachable, seen.acknowledged_at}) +
         shout_within;
}

void Promises::judge(const std::string& name, Seen& seen, Side& side, const std::string& link, Instant at) {
  if (at <= due(seen, side)) return;
  const Heard& heard = *side.heard;
  const WireEar& ear = heard.ear;
  const bool unsaid = !alive_ || (ear.on_at() > ear.off_at() && !heard.is_out);
  const bool is_said = !seen.trip.empty() || seen.has_problem;
  if (!unsaid && is_said) return;
  const char* const promise = unsaid ? "freshness" : "shouted";
  if (!told_.insert(name + ' ' + promise).second) return;
  const auto ago = [at](Instant then) { return then == WireEar::long_ago ? -1.0 : (at - then).si(); };
  broke(promise, at,
        fmt::format(
            "{}: current through {} ({}; seconds since: on {:.2f}, off {:.2f}, sample {:.2f}, flow {:.2f})",
            name, link, alive_ ? "the daemon lives" : "the daemon is dead", ago(ear.on_at()),
            ago(ear.off_at()), ago(ear.good_at()), ago(side.since)));
}

void Promises::time(Instant at) {
  for (auto& [name, seen] : places_) {
    judge(name, seen, seen.load, seen.wiring.load, at);
    judge(name, seen, seen.charger, seen.wiring.charger, at);
    const bool is_said = !seen.trip.empty() || seen.has_problem;
    if (at > low_due(seen) && !is_said && told_.insert(name + " limits").second) {
      broke("limits", at,
            fmt::format("{}: drawn below 1.5 V a cell for {:.2f} s", name, (at - *seen.low_since).si()));
    }
  }
}

Instant Promises::next_due() const {
  Instant next = Instant::never();
  for (const auto& [name, seen] : places_)
    next = std::min({next, due(seen, seen.load), due(seen, seen.charger), low_due(seen)});
  return next;
}

}  // namespace leadwright
