// SPDX-License-Identifier: Apache-2.0
// The verbs of the service: what a person may do with tickets.
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "daemon/queue/acid_findings.h"
#include "daemon/queue/bench.h"
#include "daemon/queue/problem.h"
#include "daemon/settings/log.h"
#include "daemon/store/drop_off.h"
#include "daemon/store/json.h"

namespace leadwright {

namespace {

constexpr int created_status = 201;
constexpr int precondition_failed = 412;

/// What changes something and can wait. Whatever ends energy or answers a place never waits for a disk.
bool begins_something(const std::string& verb) {
  constexpr std::array all{"ticket.add",
                           "ticket.move",
                           "ticket.close",
                           "ticket.hold",
                           "ticket.recheck",
                           "ticket.inspect",
                           "ticket.override",
                           "place.start",
                           "place.pause",
                           "place.resume",
                           "ticket.override.confirm",
                           "place.out_of_service",
                           "place.in_service",
                           "ticket.photo",
                           "photo.erase",
                           "person.erase"};
  return std::ranges::find(all, verb) != all.end();
}

Response changed_meanwhile(const std::string& ticket) {
  return problem({Errc::conflict, "the ticket was changed since it was read", ticket, "read it again"},
                 precondition_failed);
}

Response ticket_answer(int status, const Ticket& ticket) {
  return {status, to_json(ticket)};
}

}  // namespace

void Bench::carry_out(const Request& request, Answer answer) {
  const std::string& verb = request.verb;
  if (verb == "ticket.add") {
    if (auto known = kept_answers_.known(request)) return answer(std::move(*known));
  }
  if (unsaved_.is_full() && begins_something(verb)) {
    return answer(
        problem({Errc::busy,
                 fmt::format("{} changes wait for a store that fails, and nothing new begins: {}",
                             unsaved_.size(), store_problem_),
                 "store", "mend the disk of the state directory; what waits is then written by itself"}));
  }
  if (!request.if_match.empty() && !is_unchanged(request)) return answer(changed_meanwhile(request.subject));
  if (verb == "ticket.add") return ticket_add(request, std::move(answer));
  if (verb == "ticket.list") return ticket_list(request, answer);
  if (verb == "ticket.show") return ticket_show(request, answer);
  if (verb == "ticket.move") return ticket_move(request, std::move(answer));
  if (verb == "ticket.close") return ticket_close(request, std::move(answer));
  if (verb == "ticket.hold") return ticket_hold(request, std::move(answer));
  if (verb == "ticket.inspect") return ticket_inspect(request, std::move(answer));
  if (verb == "ticket.recheck") return ticket_recheck(request, std::move(answer));
  if (verb == "ticket.override") return ticket_override(request, std::move(answer));
  if (verb == "ticket.override.confirm") return ticket_override_confirm(request, std::move(answer));
  if (verb == "ticket.override.withdraw") return ticket_override_withdraw(request, std::move(answer));
  if (verb == "ticket.photo") return ticket_photo(request, std::move(answer));
  if (verb == "photo.erase") return photo_erase(request, std::move(answer));
  if (verb == "place.list") return place_list(answer);
  if (verb == "place.start") return place_start(request, answer);
  if (verb == "place.stop") return place_stop(request, std::move(answer));
  if (verb == "place.pause") return place_pause(request, std::move(answer));
  if (verb == "place.resume") return place_resume(request, std::move(answer));
  if (verb == "place.out_of_service") return place_service(request, true, std::move(answer));
  if (verb == "place.in_service") return place_service(request, false, std::move(answer));
  if (verb == "alarm.test") return alarm_test(request, std::move(answer));
  if (verb == "place.acknowledge") return place_acknowledge(request, std::move(answer));
  if (verb == "procedure.list") return procedure_list(answer);
  if (verb == "procedure.plan") return procedure_plan(request, answer);
  if (verb == "part.show") return part_show(request, answer);
  if (verb == "fitting.check") return fitting_check(request, answer);
  if (verb == "person.list") return person_list(answer);
  if (verb == "person.erase") return person_erase(request, std::move(answer));
  if (verb == "stop.all") return stop_everything(request, answer);
  if (verb == "run.trace") return run_trace(request, answer);
  if (verb == "instrument.list") return instrument_list(answer);
  if (verb == "instrument.show") return instrument_show(request, answer);
  if (verb == "instrument.trace") return instrument_trace(request, answer);
  if (verb == "instrument.trace.set") return instrument_trace_set(request, std::move(answer));
  if (verb == "metrics") return metrics(answer);
  answer(problem({Errc::not_found, "no such verb: " + verb, "request", ""}));
}

void Bench::ticket_add(const Request& request, Answer answer) {
  Result<DropOff> drop_off = dropped_off(request.body);
  if (!drop_off) return answer(problem(drop_off.error()));
  std::vector<std::string> warnings;
  Battery battery{BatteryId{}, std::move(drop_off->serial), std::move(drop_off->nameplate)};
  Ticket ticket;
  const Battery* known = ledger_.battery_of_serial(battery.serial);
  battery.id = known != nullptr ? known->id : ledger_.next_battery();
  std::optional<Instant> charged_at;
  if (known != nullptr) {
    const TicketFile* earlier = ledger_.newest_of(known->id);
    if (earlier != nullptr) {
      ticket.previous = earlier->ticket.id;
      charged_at = earlier->charged_at;
      const bool open =
          earlier->ticket.state != TicketState::closed && earlier->ticket.state != TicketState::refused;
      warnings.push_back(fmt::format("this battery was here before: {}{}", shown(earlier->ticket.id),
                                     open ? ", and that ticket is still open" : ""));
    }
  }
  ticket.id = ledger_.next_ticket();
  ticket.battery = battery.id;
  ticket.story = std::move(drop_off->story);
  ticket.inspection = std::move(drop_off->inspection);
  ticket.asked_procedures = std::move(drop_off->procedures);
  ticket.promised_at = drop_off->promised_at;
  ticket.received_at = clocks_.bench.utc();
  const auto shelf =
      std::ranges::find_if(places_, [](const auto& each) { return each->kind() == PlaceKind::shelf; });
  if (shelf != places_.end()) ticket.place = (*shelf)->name();
  // What the newer label says holds for the earlier visit too, above all a chemistry that must not be
  // energised.
  for (auto& [id, other] : ledger_.files()) {
    if (other.ticket.battery == battery.id) other.battery = battery;
  }
  TicketFile& file = ledger_.add(std::move(battery), std::move(ticket));
  file.charged_at = charged_at;
  receive(file, warnings);
  Batch batch;
  batch.emplace_back(file.battery);
  batch.emplace_back(file.ticket);
  note_acid(file, settings_.estimator.acid, batch);
  batch.emplace_back(audit(request.actor, "ticket.add", shown(file.ticket.id), file.ticket.story.complaint));
  const Response created{created_status, received_json(file.ticket, warnings)};
  answer = kept(request, created, batch, std::move(answer));
  commit(std::move(batch), std::move(answer), created);
}

Bench::Answer Bench::kept(const Request& request, const Response& created, Batch& batch, Answer then) {
  if (request.idempotency.empty()) return then;
  batch.emplace_back(kept_answers_.keep(request, created, clocks_.bench.utc()));
  return [this, key = request.idempotency, then = std::move(then)](Response response) {
    if (response.status == created_status) kept_answers_.durable(key);
    then(std::move(response));
  };
}

void Bench::ticket_move(const Request& request, Answer answer) {
  TicketFile* file = ledger_.find_shown(request.subject);
  if (file == nullptr) return answer(problem(no_ticket(request.subject)));
  const Result<Arguments> arguments = Arguments::parse(request.body, {"place", "why"});
  if (!arguments) return answer(problem(arguments.error()));
  const std::string name = arguments->text("place").value_or("");
  const Place* to = place(name);
  if (to == nullptr) {
    return answer(problem({Errc::not_found, "there is no place \"" + name + "\"", "place",
                           "leadwright place list shows them"}));
  }
  Ticket& ticket = file->ticket;
  if (has_run_going_on(*file)) {
    return answer(problem({Errc::conflict, "a run is going on at " + ticket.place, shown(ticket.id),
                           "wait for its end or stop it first"}));
  }
  if (ticket.state == TicketState::closed) {
    return answer(problem({Errc::conflict, "the ticket is closed", shown(ticket.id), "open a new ticket"}));
  }
  if (to->kind() != PlaceKind::shelf && ticket.state == TicketState::refused) {
    return answer(problem({Errc::refused, ticket.state_reason, shown(ticket.id), "keep it on a shelf"}));
  }
  const TicketFile* there = to->kind() == PlaceKind::shelf ? nullptr : ledger_.at_place(name);
  if (there != nullptr && there != file) {
    return answer(problem({Errc::conflict, shown(there->ticket.id) + " stands at " + name, "place",
                           "move that battery first"}));
  }
  Result<std::string> why = arguments->text("why").value_or("");
  if (name != ticket.place) why = unclamped(*file, *why);
  if (!why) return answer(problem(why.error()));
  const std::string before = ticket.place;
  file->charged_at = gas_off(*file).charged_at;
  ticket.place = name;
  if (ticket.state == TicketState::received) {
    set_state(*file, TicketState::waiting,
              say("scanned_at", "scanned at {place}", {said_words("place", name)}));
  }
  file->same_battery_at.reset();
  file->polarity_confirmed = file->shield_confirmed = false;
  // Another clamping, as likely to be bad as the one before.
  if (name != before) file->clamps_reseated = false;
  if (Place* left = place(before); left != nullptr && left->name() != name) left->set_ask(std::nullopt);
  log_event(Level::info, "ticket.move", {{"ticket", shown(ticket.id)}, {"from", before}, {"to", name}});
  Batch batch;
  batch.emplace_back(ticket);
  batch.emplace_back(audit(request.actor, "ticket.move", shown(ticket.id),
                           fmt::format("{} to {}{}{}", before, name, why->empty() ? "" : ": ", *why)));
  Response response = ticket_answer(200, ticket);
  commit(std::move(batch), std::move(answer), std::move(response));
}

void Bench::ticket_close(const Request& request, Answer answer) {
  TicketFile* file = ledger_.find_shown(request.subject);
  if (file == nullptr) return answer(problem(no_ticket(request.subject)));
  const Result<Arguments> arguments = Arguments::parse(request.body, {"as", "why"});
  if (!arguments) return answer(problem(arguments.error()));
  const auto closing = closing_of(arguments->text("as").value_or(""));
  if (!closing) {
    return answer(problem(
        {Errc::bad_input, "say how it is closed", "as", "one of handed_back, claimed, resold, scrapped"}));
  }
  Ticket& ticket = file->ticket;
  if (ticket.state == TicketState::closed || has_run_going_on(*file)) {
    return answer(problem(
        {Errc::conflict, "the ticket is closed already, or a run is going on", shown(ticket.id), ""}));
  }
  const bool leaves_for_use = *closing == Closing::handed_back || *closing == Closing::resold;
  if (leaves_for_use && ticket.needs_recharge) {
    return answer(
        problem({Errc::refused, "a test drew this battery below 75 % and it was not recharged since",
                 shown(ticket.id), "run \"recharge before leaving\" first"}));
  }
  const Result<std::string> why = unclamped(*file, arguments->text("why").value_or(""));
  if (!why) return answer(problem(why.error()));
  file->charged_at = gas_off(*file).charged_at;
  ticket.closing = closing;
  set_state(*file, TicketState::closed, in_own_words(word(*closing)));
  ticket.place.clear();
  Batch batch;
  batch.emplace_back(ticket);
  batch.emplace_back(audit(request.actor, "ticket.close", shown(ticket.id), *why));
  Response response = ticket_answer(200, ticket);
  commit(std::move(batch), std::move(answer), std::move(response));
}

void Bench::ticket_hold(const Request& request, Answer answer) {
  TicketFile* file = ledger_.find_shown(request.subject);
  if (file == nullptr) return answer(problem(no_ticket(request.subject)));
  const Result<Arguments> arguments = Arguments::parse(request.body, {"until", "why"});
  if (!arguments) return answer(problem(arguments.error()));
  const auto until = Utc::parse(arguments->text("until").value_or(""));
  if (!until) {
    return answer(problem({Errc::bad_input, "say until when it is held", "until", "a date like 2026-01-31"}));
  }
  if (file->ticket.state != TicketState::waiting && file->ticket.state != TicketState::graded &&
      file->ticket.state != TicketState::received) {
    return answer(problem({Errc::conflict,
                           std::string("a ticket can't be held while it is ") + word(file->ticket.state),
                           request.subject, ""}));
  }
  file->ticket.held_until = until;
  const auto given = arguments->text("why");
  set_state(*file, TicketState::held,
            given ? in_own_words(*given)
                  : say("held_until", "held until {until}", {said_words("until", until->rfc3339())}));
  Batch batch;
  batch.emplace_back(file->ticket);
  batch.emplace_back(audit(request.actor, "ticket.hold", request.subject, file->ticket.state_reason));
  Response response = ticket_answer(200, file->ticket);
  commit(std::move(batch), std::move(answer), std::move(response));
}

void Bench::ticket_recheck(const Request& request, Answer answer) {
  TicketFile* file = ledger_.find_shown(request.subject);
  if (file == nullptr) return answer(problem(no_ticket(request.subject)));
  const Result<Arguments> arguments = Arguments::parse(request.body, {});
  if (!arguments) return answer(problem(arguments.error()));
  if (file->ticket.state != TicketState::held) {
    return answer(problem({Errc::conflict, "only a held ticket can be taken up again", request.subject, ""}));
  }
  take_up_again(*file, say("taken_up_again", "taken up again"));
  Batch batch;
  batch.emplace_back(file->ticket);
  batch.emplace_back(audit(request.actor, "ticket.recheck", request.subject, ""));
  Response response = ticket_answer(200, file->ticket);
  commit(std::move(batch), std::move(answer), std::move(response));
}

}  // namespace leadwright
