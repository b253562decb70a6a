// SPDX-License-Identifier: Apache-2.0
#include "tools/client/supervision_commands.h"

#include <iostream>
#include <optional>

#include "tools/client/call.h"
#include "tools/client/http_client.h"
#include "tools/client/json_view.h"
#include "tools/client/show_instruments.h"
#include "tools/client/trace_view.h"

namespace leadwright {
namespace {

std::string path_of(const InstrumentOptions& options, std::string_view rest) {
  return "/api/v1/instruments/" + path_segment(options.instrument) + std::string(rest);
}

/// The lines of an answer, as people or programs read them.
Result<void> print(const ClientOptions& client, TraceView& view, const std::string& body) {
  auto text = view.take(body);
  if (!text) return pass(text);
  if (client.json) {
    std::cout << body << std::endl;
  } else if (!text->empty()) {
    std::cout << *text << std::flush;
  }
  return {};
}

ExitCode watch(const ClientOptions& client, const InstrumentOptions& options) {
  TraceView view;
  std::optional<Error> trouble;
  bool was_on = false;
  // The stream of the bench says when to look; there is no other clock here.
  const auto look = [&](const HttpEvent&) {
    auto body = ask(client, {"GET", path_of(options, "/trace?after=") + std::to_string(view.newest()), ""});
    const Result<void> printed = body ? print(client, view, *body) : Result<void>(pass(body));
    if (!printed) {
      trouble = printed.error();
    } else if (!view.is_on() && !was_on) {
      trouble = Error{Errc::conflict, "the trace is off", options.instrument,
                      "switch it on with leadwright instrument trace " + options.instrument + " on"};
    }
    was_on = view.is_on();
    return !trouble && was_on;
  };
  const auto followed = http_follow(bench_url(client), "/api/v1/events", look, token_headers());
  if (trouble) return report(client, *trouble);
  if (!followed) return report(client, followed.error());
  return ExitCode::ok;
}

}  // namespace

ExitCode instrument_list(const ClientOptions& client) {
  return run_ask(client, {"GET", "/api/v1/instruments", ""}, show_instruments);
}

ExitCode instrument_show(const ClientOptions& client, const InstrumentOptions& options) {
  return run_ask(client, {"GET", path_of(options, ""), ""}, show_instrument);
}

ExitCode instrument_trace(const ClientOptions& client, const InstrumentOptions& options) {
  if (options.trace == "watch") return watch(client, options);
  if (options.trace == "show")
    return run_ask(client, {"GET", path_of(options, "/trace"), ""}, show_wire_trace);
  const boost::json::object body{{"on", options.trace == "on"}};
  return run_ask(client, {"POST", path_of(options, "/trace"), boost::json::serialize(body)},
                 show_trace_switched);
}

}  // namespace leadwright
