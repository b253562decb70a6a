// SPDX-License-Identifier: Apache-2.0
// What runs recorded and what people were told.
#include <fmt/format.h>

#include <algorithm>

#include "tools/simtest_world/observer.h"

namespace leadwright {

namespace {

/// Text after `"key":"`, up to the next quote.
std::string text_of(const std::string& json, const std::string& key) {
  const std::string head = fmt::format(R"("{}":")", key);
  const std::size_t from = json.find(head);
  if (from == std::string::npos) return {};
  const std::size_t begin = from + head.size();
  return json.substr(begin, json.find('"', begin) - begin);
}

}  // namespace

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
  // What another ticket's run drew from it, it never learns.
  const auto& worked_on = worked_on_[Crew::own_battery(file)];
  if (battery == nullptr || std::ranges::any_of(worked_on, [&](TicketId id) { return id != *ticket; }))
    return;
  (void)given(Crew::own_battery(file));
  promises_.left(*ticket, *closing_of(text_of(request.body, "as")), battery->lacks(),
                 file.battery.nameplate.c20->value, world_.clock().now());
}

}  // namespace leadwright
