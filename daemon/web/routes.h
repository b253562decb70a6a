// SPDX-License-Identifier: Apache-2.0
// The one route table: the router, the authorisation of changes and the tests read it. Pure; any thread.
#pragma once

#include <span>
#include <string>
#include <string_view>

namespace leadwright {

enum class RouteKind {
  service,   ///< asked of control under the row's verb
  history,   ///< asked of control, and of the store if control answers 404
  paper,     ///< drawn from the store, on a thread of its own
  snapshot,  ///< the snapshot that was published last
  events,    ///< server-sent events
  health,    ///< 200 once a snapshot was published
  asset,     ///< a file of the page
};

struct Route {
  std::string_view method;
  std::string_view pattern;  ///< "{}" stands for one segment, which becomes the request's subject
  std::string_view verb;
  RouteKind kind = RouteKind::service;
  std::string_view query = {};  ///< the one query parameter it takes, or empty

  /// Changes the bench: needs an actor and the right origin.
  constexpr bool is_change() const { return method == "POST"; }
};

std::span<const Route> routes();

struct RouteMatch {
  const Route* route = nullptr;  ///< null if nothing matches
  std::string subject;           ///< decoded segment
  std::string allow;             ///< methods of the path, "GET, POST"; empty if the path is unknown
};

struct RouteKey {
  std::string_view method;
  std::string_view path;  ///< without the query
};

/// Finds the row of a request.
RouteMatch match_route(RouteKey key);

/// "%C3%A9" to its bytes; false for a bad escape, for control characters and for what is not UTF-8.
bool percent_decode(std::string_view text, std::string& out);

}  // namespace leadwright
