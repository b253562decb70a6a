// SPDX-License-Identifier: Apache-2.0
// What the label of a part says, by the number that was scanned.
#include "daemon/queue/bench.h"
#include "daemon/queue/problem.h"
#include "daemon/store/json.h"

namespace leadwright {

void Bench::part_show(const Request& request, const Answer& answer) {
  const Nameplate* plate = settings_.parts.find(request.subject);
  if (plate == nullptr) {
    const bool has_table = settings_.parts.size() > 0;
    return answer(problem({Errc::not_found, "there is no part \"" + request.subject + "\"", "part",
                           has_table ? "type what its label says, and add it to the list of parts"
                                     : "type what its label says; a list of parts is named in [parts]"}));
  }
  answer({200, "{\"part\":" + json_string(request.subject) + ",\"battery\":" + to_json(*plate) + "}"});
}

}  // namespace leadwright
