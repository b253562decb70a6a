// SPDX-License-Identifier: Apache-2.0
#include "tools/client/procedure_commands.h"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <boost/json/serialize.hpp>
#include <cmath>
#include <filesystem>
#include <iostream>
#include <vector>

#include "daemon/procedure/account.h"
#include "daemon/procedure/expression_words.h"
#include "daemon/procedure/proof.h"
#include "tools/client/amount.h"
#include "tools/client/call.h"
#include "tools/client/checked_file.h"
#include "tools/client/json_view.h"
#include "tools/client/parameters.h"
#include "tools/client/table.h"

namespace leadwright {
namespace {

namespace json = boost::json;
namespace fs = std::filesystem;

/// As the file has it: no battery is known yet.
std::string file_words(const Expression& expression) {
  return in_words(expression);
}

std::string longest_words(const Procedure& procedure) {
  const auto most = longest_usual(procedure);
  return most ? amount_words(most->si(), unit_of(Name::step_time)) : std::string("unknown");
}

CheckedFile right(const std::string& file, const Procedure& procedure) {
  CheckedFile checked;
  checked.text = file + ": right; " + procedure.name + " " + std::to_string(procedure.version) +
                 " takes at most " + longest_words(procedure) + " for a 12 V battery of 60 Ah\n";
  checked.body = {{"file", file}, {"is_right", true}, {"mistakes", json::array{}}};
  return checked;
}

/// A file as it is named, or the newest of that name in the folder.
std::string file_of(const ProcedureOptions& options, const std::string& name) {
  if (fs::exists(name)) return name;
  const auto known = load_procedures(options.folder);
  std::string file;
  for (const Procedure& procedure : known ? *known : std::vector<Procedure>{}) {
    if (procedure.name == name) file = procedure.file;
  }
  return file;
}

std::string choice_words(const Parameter& parameter) {
  return parameter.word + " may be chosen from " + in_words(*parameter.lowest) + " to " +
         in_words(*parameter.highest) + ", else it is " + in_words(parameter.initial) + ": " + parameter.what;
}

void explain(const Procedure& procedure) {
  std::cout << procedure.name << ", version " << procedure.version << "\n" << procedure.what << "\n";
  if (procedure.attended) std::cout << "Somebody must be there while it energises.\n";
  if (procedure.resumes) {
    std::cout << "Interrupted for up to " << std::lround(as_minutes(procedure.interruption_max))
              << " min it goes on, but for what draws: that is void.\n";
  } else {
    std::cout << "Interrupted it is void.\n";
  }
  if (!procedure.consent.empty()) std::cout << "Needs the owner's consent: " << procedure.consent << ".\n";
  for (const Parameter& parameter : procedure.frames.front().parameters) {
    std::cout << choice_words(parameter) << "\n";
  }
  std::cout << "It takes at most " << longest_words(procedure)
            << " (for a battery of 12 V, 60 Ah, 600 A CCA, 100 min RC).\n\n";
  int number = 0;
  for (const Step& step : procedure.steps) {
    const StepAccount account = account_of(procedure, step, file_words);
    std::cout << ++number << ". " << account.name << ": " << account.what << "\n   It " << account.does
              << ".\n";
    for (const std::string& end : account.ends) std::cout << "   It " << end << ".\n";
  }
}

json::object explained(const Procedure& procedure) {
  json::array steps;
  for (const Step& step : procedure.steps) {
    const StepAccount account = account_of(procedure, step, file_words);
    steps.push_back(json::object{{"step", account.name},
                                 {"what", account.what},
                                 {"does", account.does},
                                 {"ends", json::array(account.ends.begin(), account.ends.end())}});
  }
  return {{"procedure", procedure.name},    {"version", procedure.version}, {"what", procedure.what},
          {"attended", procedure.attended}, {"file", procedure.file},       {"steps", std::move(steps)}};
}

std::string show_procedures(const std::string& body) {
  const auto answer = parse_json(body);
  if (!answer || !answer->is_array()) return body + "\n";
  std::vector<std::vector<std::string>> rows{{"procedure", "version", "what it does"}};
  for (const auto& each : answer->get_array()) {
    rows.push_back(
        {words(member(each, "procedure")), words(member(each, "version")), words(member(each, "what"))});
  }
  return table(rows);
}

std::string amount_line(const json::value& plan) {
  const auto of = [&plan](const char* key, int digits) {
    return decimal(number(member(plan, key)).value_or(0.0), digits);
  };
  return "Expected " + short_duration(number(member(plan, "expected_s")).value_or(0.0)) + ", at most " +
         short_duration(number(member(plan, "longest_s")).value_or(0.0)) + ". At most " +
         of("drawn_max_ah", 1) + " Ah (" + of("drawn_max_wh", 0) + " Wh) out of the battery and " +
         of("given_max_ah", 1) + " Ah (" + of("given_max_wh", 0) + " Wh) into it.\n";
}

std::string show_plan(const std::string& body) {
  const auto plan = parse_json(body);
  if (!plan || !plan->is_object()) return body + "\n";
  std::string text = words(member(*plan, "procedure")) + " at " + words(member(*plan, "place")) + "\n";
  text += amount_line(*plan);
  if (member(*plan, "attended").is_bool() && member(*plan, "attended").get_bool()) {
    text += "Somebody must be there while it energises.\n";
  }
  if (const std::string consent = words(member(*plan, "consent")); !consent.empty()) {
    text += "Needs the owner's consent: " + consent + ".\n";
  }
  if (const std::string waits = words(member(*plan, "out_of_turn")); !waits.empty()) {
    text += "Not yet: " + waits + ".\n";
  }
  int count = 0;
  for (const auto& step : items(member(*plan, "steps"))) {
    text +=
        std::to_string(++count) + ". " + words(member(step, "step")) + ": it " + words(member(step, "does"));
    const double runs = number(member(step, "runs_max")).value_or(1.0);
    if (runs > 1.0) text += "; up to " + decimal(runs, 0) + " times";
    text += ".\n";
    for (const auto& end : items(member(step, "ends"))) text += "   It " + words(end) + ".\n";
    if (const std::string estimated = words(member(step, "estimated")); !estimated.empty())
      text += "   This is a variant for this place: " + estimated + ".\n";
    if (const std::string limited = words(member(step, "limited")); !limited.empty())
      text += "   Less flows than it asks for: " + limited + ".\n";
  }
  for (const auto& each : items(member(*plan, "obstacles"))) {
    text += "In the way: " + words(member(each, "what"));
    if (const std::string mend = words(member(each, "mend")); !mend.empty()) text += ": " + mend;
    text += "\n";
  }
  return text;
}

bool has_obstacles(const std::string& body) {
  const auto plan = parse_json(body);
  return plan && !items(member(*plan, "obstacles")).empty();
}

Result<json::object> plan_body(const ProcedurePlanOptions& options) {
  json::object body{{"place", options.place}};
  if (!options.ticket.empty()) {
    body["ticket"] = options.ticket;
  } else {
    json::object battery{{"serial", "described"}, {"chemistry", options.chemistry}, {"cells", options.cells}};
    for (const RatingOption& rating : ratings_of(options.cca, options.reserve_capacity, options.c20)) {
      if (rating.text.empty()) continue;
      const auto value = amount_of(rating.text, rating.option);
      if (!value) return tl::unexpected<Error>(value.error());
      battery[rating.key] = *value;
      battery[rating.standard_key] = "unknown";
    }
    body["battery"] = std::move(battery);
  }
  auto parameters = parameters_of(options.with);
  if (!parameters) return tl::unexpected<Error>(parameters.error());
  body["parameters"] = std::move(*parameters);
  return body;
}

}  // namespace

ExitCode procedure_check(const ClientOptions& client, const ProcedureOptions& options) {
  return check_files(options.files, client.json, [](const std::string& file) {
    const auto procedure = load_procedure(file);
    return procedure ? right(file, *procedure) : wrong_file(file, procedure.error());
  });
}

ExitCode procedure_explain(const ClientOptions& client, const ProcedureOptions& options) {
  for (const std::string& name : options.files) {
    const std::string file = file_of(options, name);
    if (file.empty()) {
      return report(client, {Errc::not_found, "there is no procedure \"" + name + "\"", options.folder,
                             "leadwright procedure list shows those of the daemon"});
    }
    const auto procedure = load_procedure(file);
    if (!procedure) {
      std::cout << wrong_file(file, procedure.error()).text;
      return ExitCode::bad_data;
    }
    if (client.json) {
      std::cout << json::serialize(explained(*procedure)) << "\n";
    } else {
      explain(*procedure);
    }
  }
  return std::cout.flush() ? ExitCode::ok : ExitCode::io;
}

ExitCode procedure_list(const ClientOptions& client) {
  return run_ask(client, {"GET", "/api/v1/procedures", ""}, show_procedures);
}

ExitCode procedure_plan(const ClientOptions& client, const ProcedurePlanOptions& options) {
  const auto request = plan_body(options);
  if (!request) return report(client, request.error());
  const auto body = ask(client, {"POST", "/api/v1/procedures/" + path_segment(options.procedure) + "/plan",
                                 json::serialize(*request)});
  if (!body) return report(client, body.error());
  std::cout << (client.json ? *body + "\n" : show_plan(*body));
  if (!std::cout.flush()) return ExitCode::io;
  return has_obstacles(*body) ? ExitCode::not_permitted : ExitCode::ok;
}

}  // namespace leadwright
