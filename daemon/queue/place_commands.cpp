// SPDX-License-Identifier: Apache-2.0
// The verbs of the service: what a person may do at places, stop all, and the trace of a run that goes on.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "daemon/queue/bench.h"
#include "daemon/queue/problem.h"
#include "daemon/settings/log.h"
#include "daemon/store/json.h"

namespace leadwright {

namespace {

constexpr const char* cautions_question =
    "Read the cautions: ventilate and keep sparks away, protect eyes and hands, take off metal jewellery, "
    "clamps on "
    "before energy and off after it. Local codes, the battery maker's instructions and licensed practice "
    "come first. "
    "Acknowledge to go on; it counts for one shift.";
/// Of a trace that is asked for while its run goes on, so that control is soon back at its work.
constexpr std::size_t live_samples_max = 2000;

}  // namespace

Result<void> Bench::may_start(const TicketFile& file, Place& place, const Procedure& wanted,
                              const std::string& actor, const Choices& parameters) {
  const Ticket& ticket = file.ticket;
  if (ticket.state == TicketState::refused || ticket.state == TicketState::closed ||
      ticket.state == TicketState::held) {
    return fail(Errc::conflict, fmt::format("the ticket is {}: {}", word(ticket.state), ticket.state_reason),
                shown(ticket.id), "");
  }
  if (!is_lead(file.battery.nameplate.chemistry)) {
    return fail(Errc::refused,
                fmt::format("chemistry \"{}\" is never energised on this bench",
                            word(file.battery.nameplate.chemistry)),
                shown(ticket.id), "no role can override this");
  }
  // Whatever the procedure is called: a step that energises is what matters.
  const bool any_energises =
      std::ranges::any_of(wanted.steps, [](const Step& step) { return energises(step.kind); });
  if (!file.faults.empty() && any_energises) {
    return fail(Errc::refused,
                "a battery with a proven fault is not energised here: " + file.faults.back().evidence,
                shown(ticket.id), "close the ticket, or drop the battery off anew if the fault was mended");
  }
  if (const std::string why = out_of_turn(file, settings_.policy, wanted.name); !why.empty()) {
    return fail(Errc::conflict, why, shown(ticket.id),
                "start without naming a procedure: the next one is due");
  }
  const auto due = next_work(file, settings_.policy);
  const bool is_early =
      due && due->procedure == wanted.name && due->not_before && clocks_.bench.utc() < *due->not_before;
  if (is_early) {
    return fail(
        Errc::conflict,
        fmt::format("it stands alone until {}: a look before tells nothing of how it keeps its charge",
                    due->not_before->rfc3339()),
        shown(ticket.id), "leave it on a shelf until then");
  }
  const bool is_heavy = heaviest_draw(wanted, values_of(wanted, file, place, parameters)) > light_draw_max;
  if (const std::string gas = gas_off(file).warning(clocks_.bench).text(); is_heavy && !gas.empty()) {
    return fail(
        Errc::conflict,
        fmt::format("no draw above {:.0f} A begins before the gas has gone: {}", light_draw_max.si(), gas),
        shown(ticket.id), "let it rest until then");
  }
  const auto acknowledged = cautions_until_.find(actor);
  if (acknowledged == cautions_until_.end() || acknowledged->second < clocks_.machine.now()) {
    place.set_ask(Ask{AskOf::cautions, cautions_question, {}});
    return fail(Errc::conflict, "the cautions are not acknowledged by you in this shift", place.name(),
                "read and acknowledge them, then start again");
  }
  return {};
}

void Bench::place_list(const Answer& answer) {
  std::string body = "[";
  for (const auto& each : places_) {
    const TicketFile* file = ticket_at(*each);
    if (body.size() > 1) body += ',';
    body += fmt::format(R"({{"place":{},"kind":"{}","activity":"{}","ticket":{},"problem":{}}})",
                        json_string(each->name()), word(each->kind()), word(each->activity()),
                        file != nullptr ? json_string(shown(file->ticket.id)) : "null",
                        json_string(each->problem()));
  }
  answer({200, body + "]"});
}

void Bench::place_start(const Request& request, const Answer& answer) {
  Place* at = place(request.subject);
  if (at == nullptr) return answer(problem(no_place(request.subject)));
  const Result<Arguments> arguments =
      Arguments::parse(request.body, {"procedure", "consented_by"}, {"parameters"});
  if (!arguments) return answer(problem(arguments.error()));
  TicketFile* file = ticket_at(*at);
  if (file == nullptr) {
    return answer(
        problem({Errc::conflict, "no ticket stands here", at->name(), "scan a battery to this place first"}));
  }
  if (is_interrupted(at->name())) {
    return answer(problem({Errc::conflict, "an interrupted run is about to go on here", at->name(),
                           "wait for it, or stop it: leadwright place stop"}));
  }
  const auto next = next_work(*file, settings_.policy);
  const std::string name = arguments->text("procedure").value_or(next ? next->procedure : "");
  const Procedure* wanted = procedure(name);
  if (wanted == nullptr) {
    return answer(problem({Errc::not_found,
                           name.empty() ? "there is nothing left to do for " + shown(file->ticket.id)
                                        : "there is no procedure \"" + name + "\"",
                           at->name(), ""}));
  }
  auto chosen = chosen_parameters(*wanted, *arguments);
  if (!chosen) return answer(problem(chosen.error()));
  at->confirm_presence();
  Result<void> allowed = may_start(*file, *at, *wanted, request.actor, *chosen);
  if (allowed) {
    allowed = start_run(*file, *at, *wanted,
                        {request.actor, std::move(*chosen), arguments->text("consented_by").value_or("")});
  }
  if (!allowed) return answer(problem(allowed.error()));
  answer({202, fmt::format(R"({{"place":{},"ticket":{},"procedure":{}}})", json_string(at->name()),
                           json_string(shown(file->ticket.id)), json_string(name))});
}

Result<void> Bench::acknowledge(Place& at, AskOf of, const Arguments& arguments, const std::string& actor,
                                Batch& batch) {
  if (of == AskOf::trip) {
    if (at.trip().empty()) return fail(Errc::conflict, "nothing is tripped here", at.name());
    at.unlatch();
    batch.emplace_back(PlaceRecord{at.name(), at.is_out_of_service(), "", {}});
    return {};
  }
  at.confirm_presence();
  if (of == AskOf::presence) return {};
  if (of == AskOf::question) return at.answer(arguments.text("answer").value_or(""));
  if (of == AskOf::cautions) {
    cautions_until_[actor] = clocks_.machine.now() + shift;
    if (at.ask() && at.ask()->of == AskOf::cautions) at.set_ask(std::nullopt);
    return {};
  }
  TicketFile* file = ticket_at(at);
  if (file == nullptr || !at.ask() || at.ask()->of != of) {
    return fail(Errc::conflict, "nothing like that is asked here", at.name());
  }
  if (of == AskOf::same_battery) {
    const std::string said = arguments.text("answer").value_or("");
    if (said != "yes" && said != "no") return fail(Errc::bad_input, "answer yes or no", "answer");
    file->same_battery_at = said == "yes" ? at.ask()->read : std::nullopt;
    if (said == "no") {
      set_state(*file, TicketState::waiting,
                say("another_was_clamped", "another battery was clamped at {place}: find this one",
                    {said_words("place", at.name())}));
      file->ticket.place.clear();
      batch.emplace_back(file->ticket);
    }
  } else if (of == AskOf::shield) {
    file->shield_confirmed = true;
  } else if (of == AskOf::clamps) {
    file->clamps_reseated = true;
  } else if (of == AskOf::polarity) {
    file->polarity_confirmed = file->too_flat = true;
  } else {
    const double cells = arguments.number("cells").value_or(0.0);
    if (cells != 3.0 && cells != 6.0)
      return fail(Errc::bad_input, "a starter battery has 3 or 6 cells", "cells");
    file->battery.nameplate.cells = static_cast<int>(std::lround(cells));
    file->cells_confirmed = true;
    batch.emplace_back(file->battery);
  }
  at.set_ask(std::nullopt);
  return {};
}

void Bench::place_acknowledge(const Request& request, Answer answer) {
  Place* at = place(request.subject);
  if (at == nullptr) return answer(problem(no_place(request.subject)));
  const Result<Arguments> arguments = Arguments::parse(request.body, {"of", "answer", "cells", "why"});
  if (!arguments) return answer(problem(arguments.error()));
  const auto of = ask_of(arguments->text("of").value_or(""));
  if (!of) {
    return answer(problem({Errc::bad_input, "say what is acknowledged", "of", "one of " + ask_words()}));
  }
  Batch batch;
  const Result<void> done = acknowledge(*at, *of, *arguments, request.actor, batch);
  if (!done) return answer(problem(done.error()));
  const std::string why = arguments->text("why").value_or(arguments->text("answer").value_or(""));
  batch.emplace_back(audit(request.actor, std::string("place.acknowledge.") + word(*of), at->name(), why));
  commit(std::move(batch), std::move(answer),
         {200, fmt::format(R"({{"place":{}}})", json_string(at->name()))});
}

void Bench::stop_everything(const Request& request, const Answer& answer) {
  const Result<Arguments> arguments = Arguments::parse(request.body, {"why"});
  const std::string why = arguments ? arguments->text("why").value_or("") : "";
  // Off needs no permission and no well-formed request.
  Sentence reason =
      say("stop_all_by", "stop all by {person}", {said_words("person", person_words(request.actor))});
  if (!why.empty()) reason.say("colon", ": ").add(in_own_words(why));
  stop_all(reason, request.actor);
  answer({200, R"({"stopped":true})"});
}

void Bench::run_trace(const Request& request, const Answer& answer) {
  for (const auto& each : places_) {
    const RunExecution* execution = each->run();
    if (execution == nullptr || shown(execution->order().run.id) != request.subject) continue;
    const Trace* trace = execution->trace();
    const std::vector<Sample> none;
    const auto& samples = trace != nullptr ? trace->samples : none;
    return answer(
        {200, trace_json(execution->order().run.id, samples, thinning(samples.size(), live_samples_max))});
  }
  answer(problem({Errc::not_found, "no run \"" + request.subject + "\" is going on", "run",
                  "the ticket shows its runs"}));
}

}  // namespace leadwright
