// SPDX-License-Identifier: Apache-2.0
// Decides by a request's header whether it may go on, before its body is read. Pure; any thread.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "daemon/queue/service.h"
#include "daemon/web/reply.h"
#include "daemon/web/routes.h"

namespace leadwright {

/// What a request's header says; views into the connection's buffer, empty where a line is absent.
struct Head {
  std::string_view method;
  std::string_view target;
  std::size_t host_lines = 0;
  std::string_view host;
  std::string_view origin;
  std::string_view fetch_site;
  std::string_view content_type;
  std::string_view actor;
  std::string_view idempotency;
  bool has_body = false;
};

struct Admitted {
  const Route* route = nullptr;
  Request request;  ///< body is still empty, unless the query gave it
};

/// Status 400 for a header that can't be read, a change without an actor or an unknown query; 403 for a
/// change from another site; 404, 405, 415 as usual; 421 for a host that is not this bench's on `port`.
tl::expected<Admitted, Reply> admit(const Head& head, std::uint16_t port);

/// True if `body` is one JSON object of at most 16 levels; else why not.
Result<void> check_body(std::string_view body);

}  // namespace leadwright
