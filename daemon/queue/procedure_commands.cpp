// SPDX-License-Identifier: Apache-2.0
// The verbs of the service: which procedures there are, and what one would do with a battery at a place.
#include <fmt/format.h>

#include <algorithm>

#include "daemon/place/plan.h"
#include "daemon/queue/bench.h"
#include "daemon/queue/consent.h"
#include "daemon/queue/problem.h"
#include "daemon/store/drop_off.h"
#include "daemon/store/json.h"

namespace leadwright {

namespace {

std::string needs_json(const Procedure& procedure) {
  std::vector<std::string> needs;
  if (procedure.needs_load) needs.emplace_back("load");
  if (procedure.needs_charger) needs.emplace_back("charger");
  if (procedure.needs_thermometer) needs.emplace_back("thermometer");
  return strings_json(needs);
}

std::string parameters_json(const Procedure& procedure) {
  std::string text = "[";
  for (const Parameter& parameter : procedure.frames.front().parameters) {
    if (text.size() > 1) text += ',';
    text +=
        fmt::format(R"({{"name":{},"what":{},"default":{},"min":{},"max":{}}})", json_string(parameter.word),
                    json_string(parameter.what), json_string(parameter.initial.text()),
                    json_string(parameter.lowest->text()), json_string(parameter.highest->text()));
  }
  return text + "]";
}

std::string procedure_json(const Procedure& procedure) {
  return fmt::format(R"({{"procedure":{},"version":{},"what":{},"needs":{},"attended":{},"consent":{},)"
                     R"("parameters":{},"hash":"{}"}})",
                     json_string(procedure.name), procedure.version, json_string(procedure.what),
                     needs_json(procedure), procedure.attended,
                     procedure.consent.empty() ? "null" : json_string(procedure.consent),
                     parameters_json(procedure), procedure.hash);
}

std::string step_json(const PlannedStep& step) {
  return fmt::format(
      R"({{"step":{},"what":{},"does":{},"ends":{},"runs_max":{},"expected_s":{:.0f},"longest_s":{:.0f},)"
      R"("estimated":{},"limited":{}}})",
      json_string(step.account.name), json_string(step.account.what), json_string(step.account.does),
      strings_json(step.account.ends), step.runs_max, step.expected.si(), step.longest.si(),
      step.estimated.empty() ? "null" : json_string(step.estimated),
      step.limited.empty() ? "null" : json_string(step.limited));
}

std::string obstacle_json(const Error& error) {
  return fmt::format(R"({{"what":{},"where":{},"mend":{}}})", json_string(error.what),
                     json_string(error.where), json_string(error.mend));
}

/// `waits`: why a person may not begin it now, empty if nothing is against it.
std::string plan_json(const std::string& procedure, const std::string& place, const RunPlan& plan,
                      const std::string& waits) {
  std::string steps = "[";
  for (const PlannedStep& step : plan.steps) {
    if (steps.size() > 1) steps += ',';
    steps += step_json(step);
  }
  std::string obstacles = "[";
  for (const Error& error : plan.obstacles) {
    if (obstacles.size() > 1) obstacles += ',';
    obstacles += obstacle_json(error);
  }
  return fmt::format(
      R"({{"procedure":{},"place":{},"expected_s":{:.0f},"longest_s":{:.0f},"drawn_max_ah":{:.2f},)"
      R"("given_max_ah":{:.2f},"drawn_max_wh":{:.1f},"given_max_wh":{:.1f},"attended":{},"consent":{},)"
      R"("out_of_turn":{},"steps":{}],"obstacles":{}]}})",
      json_string(procedure), json_string(place), plan.expected.si(), plan.longest.si(),
      as_ampere_hours(plan.drawn_max), as_ampere_hours(plan.given_max), plan.drawn_energy_max.si() / 3600.0,
      plan.given_energy_max.si() / 3600.0, plan.attended,
      plan.consent.empty() ? "null" : json_string(plan.consent), waits.empty() ? "null" : json_string(waits),
      steps, obstacles);
}

PlaceProfiles profiles_of(Place& place) {
  PlaceProfiles profiles;
  const PlaceInstruments& has = place.instruments();
  if (has.load() != nullptr) profiles.load = &has.load()->profile();
  if (has.charger() != nullptr) profiles.charger = &has.charger()->profile();
  if (has.thermometer() != nullptr) profiles.thermometer = &has.thermometer()->profile();
  return profiles;
}

}  // namespace

Result<Choices> Bench::chosen_parameters(const Procedure& procedure, const Arguments& arguments) {
  const auto texts = arguments.texts("parameters");
  if (!texts) return tl::unexpected<Error>(texts.error());
  Choices chosen;
  for (const auto& [word, text] : *texts) {
    const auto amount = Expression::parse(text, "parameters: " + word);
    if (!amount) return tl::unexpected<Error>(amount.error());
    const auto value = amount->evaluate(Values());
    if (!value) {
      return fail(Errc::bad_input, "\"" + text + "\" uses names", "parameters: " + word,
                  "write an amount with its unit");
    }
    for (const Parameter& parameter : procedure.frames.front().parameters) {
      if (parameter.word != word || parameter.initial.unit() == amount->unit()) continue;
      return fail(
          Errc::bad_input,
          fmt::format("\"{}\" is {}, not {}", text, amount->unit().text(), parameter.initial.unit().text()),
          "parameters: " + word, "give it the unit of its default, " + parameter.initial.text());
    }
    chosen.emplace_back(word, *value);
  }
  return chosen;
}

Second Bench::expected_time(const TicketFile& file, const Work& work) const {
  const Procedure* wanted = procedure(work.procedure);
  const auto serves = std::ranges::find_if(places_, [&work](const std::unique_ptr<Place>& each) {
    return each->kind() == work.place_kind || place_serves(each->kind(), work.place_kind);
  });
  if (wanted == nullptr || serves == places_.end()) return {};
  PlanRequest plan;
  plan.procedure = wanted;
  plan.place = profiles_of(**serves);
  plan.nameplate = file.battery.nameplate;
  plan.found = file.findings;
  const RunPlan planned = plan_of(plan);
  return planned.obstacles.empty() ? planned.expected : Second();
}

void Bench::procedure_list(const Answer& answer) {
  std::string body = "[";
  for (const Procedure& each : settings_.procedures) {
    if (body.size() > 1) body += ',';
    body += procedure_json(each);
  }
  answer({200, body + "]"});
}

void Bench::procedure_plan(const Request& request, const Answer& answer) {
  const Procedure* wanted = procedure(request.subject);
  if (wanted == nullptr) {
    return answer(problem({Errc::not_found, "there is no procedure \"" + request.subject + "\"", "procedure",
                           "leadwright procedure list shows them"}));
  }
  const Result<Arguments> arguments =
      Arguments::parse(request.body, {"place", "ticket"}, {"battery", "parameters"});
  if (!arguments) return answer(problem(arguments.error()));
  const std::string name = arguments->text("place").value_or("");
  Place* at = place(name);
  if (at == nullptr) return answer(problem(no_place(name)));
  PlanRequest plan;
  plan.procedure = wanted;
  plan.place = profiles_of(*at);
  const TicketFile* file = nullptr;
  if (const auto ticket = arguments->text("ticket")) {
    file = ledger_.find_shown(*ticket);
    if (file == nullptr) return answer(problem(no_ticket(*ticket)));
    plan.nameplate = file->battery.nameplate;
    plan.found = file->findings;
  } else if (const auto battery = arguments->object("battery")) {
    const Result<DropOff> read = parse_drop_off(R"({"battery":)" + *battery + "}");
    if (!read) return answer(problem(read.error()));
    plan.nameplate = read->nameplate;
  } else {
    return answer(problem({Errc::bad_input, "it is not said for which battery", "body",
                           "send a ticket, or a battery as at the drop-off"}));
  }
  auto chosen = chosen_parameters(*wanted, *arguments);
  if (!chosen) return answer(problem(chosen.error()));
  plan.parameters = std::move(*chosen);
  RunPlan planned = plan_of(plan);
  std::string waits;
  if (file != nullptr) {
    planned.consent = consent_needed(*file, *wanted, settings_.policy);
    waits = out_of_turn(*file, settings_.policy, wanted->name);
  }
  answer({200, plan_json(wanted->name, at->name(), planned, waits)});
}

}  // namespace leadwright
