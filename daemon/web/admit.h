// SPDX-License-Identifier: Apache-2.0
// Decides by a request's header whether it may go on, before its body is read. Read next: tokens.h.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/queue/service.h"
#include "daemon/web/reply.h"
#include "daemon/web/routes.h"
#include "daemon/web/tokens.h"

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
  std::string_view authorization;
  std::string_view cookie;
  std::string_view idempotency;
  std::string_view if_match;
  std::string_view if_none_match;
  bool has_body = false;
};

/// Under which names the bench answers, and whom.
struct Access {
  std::uint16_t port = 0;
  std::vector<std::string> names = {};  ///< Host lines besides this machine's own
  bool behind_proxy = false;            ///< pages of those names come over TLS
  std::shared_ptr<Tokens> tokens = {};  ///< null: whoever reaches the port may do everything
};

struct Admitted {
  const Route* route = nullptr;
  Request request;  ///< body is still empty, unless the query gave it
  std::string if_none_match;
  std::string token;   ///< that let it in; empty where none is asked for
  std::string holder;  ///< the token's name
  Rank rank = Rank::anybody;
};

/// Status 400 for a header that can't be read, a change without an actor or an unknown query; 401 without a
/// token where one is asked for; 403 for a change from another site or beyond the token's rank; 404, 405, 415
/// as usual; 421 for a host that is not this bench's. Reads the token file at most once a second. Thread:
/// web.
tl::expected<Admitted, Reply> admit(const Head& head, const Access& access);

/// The token out of "Authorization: Bearer TOKEN" or, of a browser, out of its cookie; empty if there is
/// none.
std::string_view token_of(const Head& head);
/// The name of that cookie.
constexpr std::string_view token_cookie = "leadwright-token";

/// True if `body` is one JSON object of at most 16 levels, or nothing; else why not.
Result<void> check_body(std::string_view body);
/// The same of an object without members.
Result<void> check_no_members(std::string_view body);

}  // namespace leadwright
