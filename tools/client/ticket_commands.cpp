// SPDX-License-Identifier: Apache-2.0
#include "tools/client/ticket_commands.h"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <boost/json/serialize.hpp>

#include "tools/client/amount.h"
#include "tools/client/call.h"
#include "tools/client/show.h"

namespace leadwright {
namespace {

namespace json = boost::json;

void set_text(json::object& object, std::string_view key, const std::string& value) {
  if (!value.empty()) object[json::string_view(key.data(), key.size())] = value;
}

constexpr const char* name_a_ticket = "give a JSON file, or - for standard input";

Result<json::object> battery_of(const TicketAddOptions& options) {
  json::object battery;
  set_text(battery, "serial", options.serial);
  set_text(battery, "chemistry", options.chemistry);
  if (options.cells) battery["cells"] = *options.cells;
  for (const RatingOption& amount : ratings_of(options.cca, options.reserve_capacity, options.c20)) {
    if (amount.text.empty()) continue;
    const auto value = amount_of(amount.text, amount.option);
    if (!value) return tl::unexpected<Error>(value.error());
    battery[amount.key] = *value;
  }
  set_text(battery, "cca_standard", options.cca_standard);
  set_text(battery, "reserve_capacity_standard", options.reserve_capacity_standard);
  set_text(battery, "c20_standard", options.c20_standard);
  set_text(battery, "size_code", options.size_code);
  set_text(battery, "manufactured_on", options.manufactured_on);
  set_text(battery, "date_code", options.date_code);
  return battery;
}

json::object inspection_of(const TicketAddOptions& options) {
  json::object inspection;
  for (const auto& sign : options.signs) inspection[sign] = true;
  set_text(inspection, "remarks", options.remarks);
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

Result<std::string> drop_off_body(const TicketAddOptions& options) {
  auto battery = battery_of(options);
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
  json::object body{
      {"battery", std::move(*battery)}, {"story", story}, {"inspection", inspection_of(options)}};
  if (!options.procedures.empty()) {
    body["procedures"] = json::array(options.procedures.begin(), options.procedures.end());
  }
  return json::serialize(body);
}

ExitCode ticket_add(const ClientOptions& client, const TicketAddOptions& options) {
  auto body = drop_off_body(options);
  if (!body) return report(client, body.error());
  return run_ask(client, {"POST", "/api/v1/tickets", std::move(*body)}, show_added_ticket);
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
