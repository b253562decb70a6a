// SPDX-License-Identifier: Apache-2.0
#include "tools/client/fitting_commands.h"

#include <array>
#include <iostream>
#include <utility>

#include "tools/client/call.h"
#include "tools/client/json_view.h"
#include "tools/client/label_json.h"

namespace leadwright {
namespace {

namespace json = boost::json;

void add_posts(json::object& to, const PostOptions& posts) {
  set_text(to, "plus_at", posts.plus_at);
  set_text(to, "post", posts.post);
}

Result<json::object> amounts_of(std::initializer_list<TypedAmount> amounts) {
  json::object all;
  for (const TypedAmount& amount : amounts) {
    const auto set = set_amount(all, amount);
    if (!set) return tl::unexpected<Error>(set.error());
  }
  return all;
}

/// Adds what somebody stated, under its key.
Result<void> add_stated(json::object& body, const char* key, Result<json::object> stated) {
  if (!stated) return pass(stated);
  if (!stated->empty()) body[key] = std::move(*stated);
  return {};
}

Result<json::object> vehicle_of(const FittingOptions& options) {
  auto vehicle = label_json(options.vehicle, {}, "--vehicle-");
  if (vehicle) add_posts(*vehicle, options.vehicle);
  return vehicle;
}

Result<json::object> body_of(const FittingOptions& options, json::object part) {
  json::object body;
  set_text(body, "ticket", options.ticket);
  add_posts(body, options);
  const std::array added{
      add_stated(body, "battery", label_json(options, std::move(part))),
      add_stated(body, "vehicle", vehicle_of(options)),
      add_stated(body, "reading",
                 amounts_of({{"ocv_v", options.ocv, "--ocv", "V"},
                             {"battery_degc", options.temperature, "--temperature", "degC"},
                             {"stood_h", options.stood, "--stood", "h"}})),
      add_stated(body, "after",
                 amounts_of({{"monitor_age_days", options.monitor_age, "--monitor-age", "d"},
                             {"monitor_soc_1", options.monitor_charge, "--monitor-charge", "%", 0.01},
                             {"running_v", options.running, "--running", "V"},
                             {"drain_a", options.drain, "--drain", "mA", 0.001}})),
      set_amount(body, {"charger_a", options.charger, "--charger", "A"})};
  for (const auto& each : added) {
    if (!each) return tl::unexpected<Error>(each.error());
  }
  return body;
}

}  // namespace

Result<std::string> fitting_body(const FittingOptions& options, const std::string& part) {
  const auto known = parse_json(part);
  auto body = body_of(options, known && known->is_object() ? known->get_object() : json::object());
  if (!body) return pass(body);
  if (options.file.empty()) return json::serialize(*body);
  if (body->empty()) return read_input(options.file, "give a JSON file, or - for standard input");
  return fail(Errc::bad_input, "a file and the other options exclude each other", "--file",
              "give one of both");
}

ExitCode fitting_check(const ClientOptions& client, const FittingOptions& options) {
  const auto part = part_label(client, options.part);
  if (!part) return report(client, part.error());
  auto body = fitting_body(options, json::serialize(*part));
  if (!body) return report(client, body.error());
  const auto answer = ask(client, {"POST", "/api/v1/fitting", std::move(*body)});
  if (!answer) return report(client, answer.error());
  std::cout << (client.json ? *answer + "\n" : show_fitting(*answer));
  if (!std::cout.flush()) return ExitCode::io;
  const auto told = parse_json(*answer);
  const bool may = told && words(member(*told, "verdict")) == "may_be_fitted";
  return may ? ExitCode::ok : ExitCode::negative;
}

}  // namespace leadwright
