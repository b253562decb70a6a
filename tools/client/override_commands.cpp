// SPDX-License-Identifier: Apache-2.0
#include "tools/client/override_commands.h"

#include <boost/json/object.hpp>
#include <boost/json/serialize.hpp>

#include "tools/client/call.h"
#include "tools/client/show_override.h"

namespace leadwright {
namespace {

namespace json = boost::json;

ExitCode change(const ClientOptions& client, const OverrideOptions& options, const char* verb,
                const json::object& body) {
  const std::string path = "/api/v1/tickets/" + path_segment(options.ticket) + verb;
  return run_ask(client, {"POST", path, json::serialize(body)}, show_override);
}

}  // namespace

ExitCode ticket_override(const ClientOptions& client, const OverrideOptions& options) {
  return change(client, options, "/override", {{"letter", options.letter}, {"why", options.why}});
}

ExitCode ticket_override_confirm(const ClientOptions& client, const OverrideOptions& options) {
  return change(client, options, "/override/confirm", {{"letter", options.letter}});
}

ExitCode ticket_override_withdraw(const ClientOptions& client, const OverrideOptions& options) {
  return change(client, options, "/override/withdraw", {{"why", options.why}});
}

}  // namespace leadwright
