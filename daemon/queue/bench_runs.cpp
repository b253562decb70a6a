// SPDX-License-Identifier: Apache-2.0
// How the bench starts a run, and goes on by itself after one.
#include <fmt/format.h>

#include <algorithm>

#include "daemon/queue/bench.h"
#include "daemon/queue/calibration.h"
#include "daemon/queue/consent.h"
#include "daemon/queue/early_parameters.h"
#include "daemon/queue/needs.h"
#include "daemon/settings/log.h"

namespace leadwright {

void Bench::go_on(TicketFile& file, Place& place) {
  const auto next = next_work(file, settings_.policy);
  if (place.ask()) return;
  // A bay is the scarce place: what a charging place can do is not done here.
  if (!next || file.ticket.place != place.name() || place.kind() != kind_to_do(*next, places_)) return;
  if (next->not_before && clocks_.bench.utc() < *next->not_before) return;
  const Procedure* wanted = procedure(next->procedure);
  const std::string actor = started_by_[place.name()];
  if (wanted == nullptr) return;
  const Result<void> started = start_run(file, place, *wanted, {actor, {}, {}});
  if (!started)
    log_event(Level::warning, "run.not_started", {{"place", place.name()}, {"why", started.error().line()}});
}

RunOrder Bench::order_for(const TicketFile& file, const Place& place, const Procedure& procedure,
                          const Choices& parameters) const {
  RunOrder order;
  order.procedure = std::make_shared<const Procedure>(procedure);
  order.battery = file.battery;
  order.estimator = settings_.estimator;
  if (const auto key = design_of(file.battery.nameplate)) {
    if (const DesignCurve* curve = newest_of(settings_.designs, *key)) order.design = *curve;
  }
  order.rested = is_rested(file);
  order.cells_confirmed = file.cells_confirmed;
  order.found = file.findings;
  order.parameters = parameters;
  order.polarity_confirmed = file.polarity_confirmed;
  order.shield_confirmed = file.shield_confirmed;
  order.clamps_reseated = file.clamps_reseated;
  order.unattended_allowed = settings_.policy.unattended_hard_charges;
  order.gas_off = gas_off(file);
  order.air = air_needed(heaviest_charge(procedure, values_of(procedure, file, place, parameters)),
                         file.battery.nameplate.cells);
  return order;
}

Result<void> Bench::start_run(TicketFile& file, Place& place, const Procedure& wanted, RunWish wish) {
  if (const auto why = alarm()) {
    return fail(Errc::refused, "nothing is energised on this bench: " + *why, place.name(),
                "put it right first; it clears by itself");
  }
  if (Result<void> asked = ask_before_charge(file, place, wanted); !asked) return asked;
  const std::string agreed_to = consent_needed(file, wanted, settings_.policy);
  Result<std::string> consented_by = consent_given(agreed_to, wish.consented_by, file, wanted);
  if (!consented_by) return pass(consented_by);
  add_early_parameters(wanted, settings_.policy, file.battery.nameplate, settings_.estimator,
                       place.live().temperature, wish.parameters);
  RunOrder order = order_for(file, place, wanted, wish.parameters);
  Result<void> aired = has_air(file, order.air);
  if (!aired) return aired;
  order.run.id = ledger_.next_run();
  order.run.ticket = file.ticket.id;
  order.run.place = place.name();
  order.run.procedure = wanted.name;
  order.run.procedure_version = wanted.version;
  order.run.procedure_hash = wanted.hash;
  order.run.started_at = clocks_.bench.utc();
  order.run.instruments = place.instruments().used(clocks_.bench.utc());
  Result<void> calibrated =
      calibration_allows(order.run.instruments, wanted, settings_.policy.calibration, place.name());
  if (!calibrated) return calibrated;
  order.widen_meters_by = meters_widened_by(order.run.instruments, settings_.policy.calibration);
  if (!agreed_to.empty()) {
    order.run.consent = Consent{agreed_to, people_.code_of(*consented_by), std::string(person_of(wish.actor)),
                                clocks_.bench.utc()};
  }
  order.expected = expected_volts(file);
  order.same_battery_at = file.same_battery_at;
  order.started_by = wish.actor;
  order.people = people_.unstored();
  const std::string run = shown(order.run.id);
  Result<void> started = place.start(std::move(order));
  if (!started) return started;
  started_by_[place.name()] = wish.actor;
  set_state(file, state_during(wanted.name),
            say("procedure_at", "{procedure} at {place}",
                {said_words("procedure", wanted.name), said_words("place", place.name())}));
  log_event(
      Level::info, "run.started",
      {{"run", run}, {"ticket", shown(file.ticket.id)}, {"place", place.name()}, {"procedure", wanted.name}});
  Batch batch;
  batch.emplace_back(file.ticket);
  batch.emplace_back(
      audit(wish.actor, "run.start", shown(file.ticket.id), wanted.name + " at " + place.name()));
  commit(std::move(batch), {}, {});
  return {};
}

}  // namespace leadwright
