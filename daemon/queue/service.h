// SPDX-License-Identifier: Apache-2.0
// What the faces (page, client, tests) may ask of the bench. Requests and answers are values, so they cross
// threads and worlds unchanged. Thread: control; other threads post.
#pragma once

#include <functional>
#include <string>

namespace leadwright {

/// One request. `verb` is one of the names in the route table of web/routes.h, for example "ticket.move".
struct Request {
  std::string verb;
  std::string subject;        ///< ticket "T-000001-3" or place "bay-1"; empty where the verb has none
  std::string body;           ///< JSON object, or empty
  std::string actor;          ///< who; never empty for a change
  std::string idempotency;    ///< key for creations, or empty
  std::string if_match = {};  ///< entity tags, one of which the ticket must still have; or empty
};

/// HTTP status and JSON body; errors are problem details (RFC 9457) with `what`, `where` and `mend`.
struct Response {
  int status = 200;
  std::string body;
  std::string next = {};  ///< of a list: the cursor that gives the rest; empty if there is none
};

class Service {
 public:
  virtual ~Service() = default;
  /// `answer` is called once, on control's loop, at once or later.
  virtual void handle(Request request, std::function<void(Response)> answer) = 0;
  /// The bench as JSON, as GET /api/v1/bench gives it. Cheap to call; rebuilt at most twice a second.
  virtual std::string snapshot() = 0;
};

}  // namespace leadwright
