// SPDX-License-Identifier: Apache-2.0
// What the web thread writes back. Pure values; any thread.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "daemon/queue/service.h"
#include "daemon/web/routes.h"
#include "protocol/result.h"

namespace leadwright {

using HeaderLines = std::vector<std::pair<std::string_view, std::string>>;

struct Reply {
  int status = 200;
  std::string_view content_type = "application/json";
  std::string body;
  HeaderLines more;
  bool has_to_close = false;  ///< the request was not read to its end
};

/// What a refusal of that status is called in this bench.
std::string_view title_of(int status);

/// Problem details (RFC 9457) with our members `where` and `mend`; `detail` is the error's `what`.
Reply problem(int status, const Error& error);

/// What control or the papers' thread answered, with the type of its route. A paper gets a name to be kept
/// under.
Reply reply_of(const Route& route, const Request& request, Response response);

/// Gives an answer its entity tag. If that is one of those that the reader has, the answer becomes 304.
void tag(const Route& route, std::string_view if_none_match, Reply& reply);

/// The headers that every answer carries: content security policy, no sniffing, no referrer, no framing.
const HeaderLines& security_headers();

}  // namespace leadwright
