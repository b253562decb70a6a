// SPDX-License-Identifier: Apache-2.0
#include "tools/client/person_commands.h"

#include "tools/client/call.h"
#include "tools/client/json_view.h"
#include "tools/client/show_person.h"

namespace leadwright {

ExitCode person_list(const ClientOptions& client) {
  return run_ask(client, {"GET", "/api/v1/people", ""}, show_people);
}

ExitCode person_erase(const ClientOptions& client, const PersonOptions& options) {
  const boost::json::object body{{"why", options.why}};
  return run_ask(
      client,
      {"POST", "/api/v1/people/" + path_segment(options.person) + "/erase", boost::json::serialize(body)},
      show_erased);
}

}  // namespace leadwright
