// SPDX-License-Identifier: Apache-2.0
// Each run as it truly went: on which battery, what that gave, and what became of it when a daemon died.
#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "tools/simtest_world/observer.h"

namespace leadwright {

namespace {
/// Meters differ so much, and clamps may drop as much, before "another battery" shows by its volts.
constexpr Volt meters_apart{0.1};
/// The one bit of a "0" that makes it the most is read as 8 A where nothing flows, for the two seconds
/// between the samples of a rest.
constexpr Coulomb flipped_zero{16.0};
}  // namespace

bool Observer::can_tell(const std::string& battery, const std::optional<ExpectedVolts>& expected) {
  if (!expected) return false;
  if (battery.empty()) return true;
  const Volt off = world_.sim().battery(battery)->battery->terminal(Ampere(0.0)) - expected->volts;
  return off <= -(expected->below_max + meters_apart) || off >= expected->above_max + meters_apart;
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
    // Whatever charged it charges another one from here on.
    end_of_charge(spot);
    going.exchanged = true;
    if (clamped != nullptr) worked_on_[clamped->name].insert(run->order().run.ticket);
    return;
  }
  promises_.run_goes_on(spot.name, world_.clock().now());
  if (run->order().run.id == spot.cut.run) return go_on(spot, *run);
  spot.cut = spot.ended = going = {};
  going.run = run->order().run.id;
  going.since = world_.clock().now();
  stands(going, std::string(there), *run);
  going.given = given(going.battery);
}

void Observer::go_on(Spot& spot, const RunExecution& run) {
  Going& going = spot.going;
  going = std::exchange(spot.cut, {});
  going.was_cut = true;
  going.unwatched += world_.clock().now() - spot.died_at;
  const std::string there = crew_.clamped(spot.name);
  if (there == going.battery) return;
  // Another one was clamped on meanwhile: it must be noticed if a meter could tell.
  going.replaced = true;
  stands(going, there, run);
  // What the daemon did not even ask is no excuse.
  if (!run.order().expected) going.no_meter_could_tell = false;
}

void Observer::stands(Going& going, const std::string& battery, const RunExecution& run) {
  going.battery = battery;
  going.ticket = run.order().run.ticket;
  const TicketFile* file = world_.bench().ledger().find(run.order().run.ticket);
  going.own = file != nullptr && Crew::own_battery(*file) == battery;
  if (!battery.empty() && file != nullptr) worked_on_[battery].insert(file->ticket.id);
  going.no_meter_could_tell = !can_tell(battery, run.order().expected);
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
  if (meters_lie || going.exchanged || going.replaced || going.battery.empty()) return Coulomb(-1.0);
  const Second lasted = world_.clock().now() - going.since;
  // Between switching on and the first sample, and after the last one; a draw has three stages.
  Coulomb allowed = abs(given) * 0.001 + going.peak * Second(2.0);
  // 0.1 % and 10 mA of the worse meter, by its profile.
  if (!shape_.bench.ideal) allowed += abs(given) * 0.002 + Ampere(0.02) * lasted;
  // A flipped digit that stays inside the envelope is believed once; what is missing is interpolated.
  if (wires_lie) allowed += abs(given) * 0.01 + going.peak * Second(20.0);
  if (shape_.flips_digits()) allowed += flipped_zero;
  return allowed;
}

void Observer::run_ended(const Place& place, const RunResult& result) {
  const Instant now = world_.clock().now();
  const auto spot = std::ranges::find(spots_, place.name(), &Spot::name);
  const TicketFile& file = *world_.bench().ledger().find(result.run.ticket);
  Going going = spot->going;
  if (going.run != result.run.id) going = {};
  going.exchanged = going.exchanged || crew_.clamped(place.name()) != going.battery;
  if (result.began) spot->ended = going;
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
  seen.allowed = seen.allowed_watched = allowance(going, seen.given);
  // From the last journal, which is a block of the trace old at most, until the run was seen again.
  if (going.was_cut && seen.allowed >= Coulomb(0.0))
    seen.allowed += going.peak * (going.unwatched + Second(65.0));
  seen.was_cut = going.was_cut;
  seen.drew_when_cut = going.drew_when_cut;
  seen.unmeasured = result.unmeasured;
  if (going.was_cut) tally_.add(std::string("runs resumed, then ") + word(result.run.outcome));
  tally_.add(result.began ? std::string("runs ") + word(result.run.outcome) : "runs refused");
  if (result.began && seen.allowed >= Coulomb(0.0) && seen.outcome == RunOutcome::complete)
    tally_.add("ampere-hours compared");
  promises_.ended(seen, now);
  for (const Finding& finding : result.findings) promises_.shown(finding, now);
  tally_.add("findings", result.findings.size());
  tally_.add("faults found", result.faults.size());
  if (seen.outcome == RunOutcome::complete && !seen.place_tripped) ++completed_[Crew::own_battery(file)];
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

}  // namespace leadwright
