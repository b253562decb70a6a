// SPDX-License-Identifier: Apache-2.0
#include "tools/client/ticket_commands.h"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <boost/json/serialize.hpp>
#include <utility>

#include "tools/client/acid_json.h"
#include "tools/client/call.h"
#include "tools/client/json_view.h"
#include "tools/client/label_json.h"
#include "tools/client/show.h"

namespace leadwright {
namespace {

namespace json = boost::json;

constexpr const char* name_a_ticket = "give a JSON file, or - for standard input";

/// The serial first, then what the label says.
Result<json::object> battery_of(const TicketAddOptions& options, json::object part) {
  auto label = label_json(options, std::move(part));
  if (!label) return label;
  json::object battery;
  set_text(battery, "serial", options.serial);
  for (const auto& [key, value] : *label) battery[key] = value;
  return battery;
}

json::object monitor_of(const TicketAddOptions& options) {
  constexpr double percent = 100.0;
  json::object monitor;
  if (options.monitor_percent) monitor["soc_1"] = *options.monitor_percent / percent;
  if (options.monitor_days) monitor["age_days"] = *options.monitor_days;
  if (options.monitor_degc) monitor["battery_degc"] = *options.monitor_degc;
  set_text(monitor, "reset_on", options.monitor_reset_on);
  return monitor;
}

void set_posts(json::object& inspection, const std::string& prefix, const PostOptions& posts) {
  set_text(inspection, (prefix + "plus_at").c_str(), posts.plus_at);
  set_text(inspection, (prefix + "post").c_str(), posts.post);
}

Result<json::object> inspection_of(const InspectionOptions& options) {
  json::object inspection;
  for (const auto& sign : options.signs) inspection[sign] = true;
  if (options.weight_kg) inspection["weight_kg"] = *options.weight_kg;
  set_text(inspection, "remarks", options.remarks);
  set_text(inspection, "vehicle_size_code", options.vehicle_size_code);
  set_posts(inspection, "", options);
  set_posts(inspection, "vehicle_", options.vehicle);
  const auto acid = set_acid(inspection, options);
  if (!acid) return tl::unexpected<Error>(acid.error());
  return inspection;
}

std::string ticket_path(const TicketOptions& options, std::string_view verb) {
  return "/api/v1/tickets/" + path_segment(options.ticket) + std::string(verb);
}

std::string change_body(const char* key, const TicketOptions& options) {
  json::object body{{key, options.target}};
  set_text(body, "why", options.why);
  return json::serialize(body);
}

}  // namespace

Result<std::string> drop_off_body(const TicketAddOptions& options, const std::string& part) {
  const auto known = parse_json(part);
  auto battery = battery_of(options, known && known->is_object() ? known->get_object() : json::object());
  if (!battery) return pass(battery);
  if (!options.file.empty()) {
    if (battery->empty()) return read_input(options.file, name_a_ticket);
    return fail(Errc::bad_input, "a file and the label's options exclude each other", "--file",
                "give one of both");
  }
  json::object story;
  set_text(story, "complaint", options.complaint);
  set_text(story, "sold_on", options.sold_on);
  set_text(story, "monitor_report", options.monitor_report);
  set_text(story, "receipt", options.receipt);
  if (json::object monitor = monitor_of(options); !monitor.empty()) story["monitor"] = std::move(monitor);
  auto inspection = inspection_of(options);
  if (!inspection) return tl::unexpected<Error>(inspection.error());
  json::object body{
      {"battery", std::move(*battery)}, {"story", story}, {"inspection", std::move(*inspection)}};
  set_text(body, "promised_at", options.promised_at);
  if (!options.procedures.empty()) {
    body["procedures"] = json::array(options.procedures.begin(), options.procedures.end());
  }
  return json::serialize(body);
}

ExitCode ticket_add(const ClientOptions& client, const TicketAddOptions& options) {
  const auto part = part_label(client, options.part);
  if (!part) return report(client, part.error());
  auto body = drop_off_body(options, json::serialize(*part));
  if (!body) return report(client, body.error());
  return run_ask(client, {"POST", "/api/v1/tickets", std::move(*body)}, show_added_ticket);
}

ExitCode ticket_inspect(const ClientOptions& client, const TicketInspectOptions& options) {
  auto seen = inspection_of(options);
  if (!seen) return report(client, seen.error());
  for (const auto& sign : options.gone) (*seen)[sign] = false;
  const std::string path = "/api/v1/tickets/" + path_segment(options.ticket) + "/inspection";
  return run_ask(client, {"POST", path, json::serialize(*seen)}, show_added_ticket);
}

ExitCode ticket_list(const ClientOptions& client, const TicketListOptions& options) {
  const std::string query = options.state.empty() ? "" : "?state=" + path_segment(options.state);
  return run_ask(client, {"GET", "/api/v1/tickets" + query, ""}, show_tickets);
}

ExitCode ticket_show(const ClientOptions& client, const TicketOptions& options) {
  return run_ask(client, {"GET", ticket_path(options, ""), ""}, show_ticket);
}

ExitCode ticket_move(const ClientOptions& client, const TicketOptions& options) {
  return run_ask(client, {"POST", ticket_path(options, "/move"), change_body("place", options)},
                 show_changed_ticket);
}

ExitCode ticket_close(const ClientOptions& client, const TicketOptions& options) {
  return run_ask(client, {"POST", ticket_path(options, "/close"), change_body("as", options)},
                 show_changed_ticket);
}

ExitCode ticket_hold(const ClientOptions& client, const TicketOptions& options) {
  return run_ask(client, {"POST", ticket_path(options, "/hold"), change_body("until", options)},
                 show_changed_ticket);
}

ExitCode ticket_recheck(const ClientOptions& client, const TicketOptions& options) {
  return run_ask(client, {"POST", ticket_path(options, "/recheck"), "{}"}, show_changed_ticket);
}

}  // namespace leadwright
