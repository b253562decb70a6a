// SPDX-License-Identifier: Apache-2.0
// The one table of operations: the router, the authorisation, the OpenAPI document and the tests read it.
// Pure; any thread. Read next: route_table.cpp (the rows), openapi.h.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/web/rank.h"

namespace leadwright {

/// Of the body of a change that does not carry a file.
inline constexpr std::uint64_t body_size_max = 65536;
/// Of one that carries a photo as base64.
inline constexpr std::uint64_t photo_body_size_max = 368640;

enum class RouteKind {
  service,   ///< asked of control under the row's verb
  history,   ///< asked of control, and of the store if control answers 404
  stored,    ///< read from the store alone
  paper,     ///< drawn from the store, on a thread of its own
  snapshot,  ///< the snapshot that was published last
  events,    ///< server-sent events
  health,    ///< 200 once a snapshot was published
  document,  ///< the OpenAPI document
  sign_in,   ///< who asks; keeps a browser's token in a cookie, or lets it go
  asset,     ///< a file of the page; not in the document
};

struct Route {
  std::string_view method;
  std::string_view pattern;  ///< "{ticket}" stands for one segment, which becomes the request's subject
  std::string_view verb;
  RouteKind kind = RouteKind::service;
  Rank needs = Rank::viewer;    ///< lowest rank that may ask, where tokens are asked for
  std::string_view query = {};  ///< names of the query parameters it takes, with blanks between
  std::string_view takes = {};  ///< schema of the body, in api/*.json; empty if it takes none
  std::string_view gives = {};  ///< schema of the answer; empty for what is not JSON
  int status = 200;             ///< of the answer
  std::array<int, 3> refusals =
      {};                         ///< statuses of its refusals beyond those that follow from the rest, or 0
  std::string_view summary = {};  ///< one sentence
  std::uint64_t body_max = body_size_max;

  /// Changes the bench: needs an actor and the right origin.
  constexpr bool is_change() const { return method == "POST"; }
  /// Its answers have an entity tag, so that a reader can ask whether anything has changed.
  constexpr bool is_tagged() const {
    return method == "GET" && verb != "metrics" && kind != RouteKind::events && kind != RouteKind::health &&
           kind != RouteKind::sign_in;
  }
  /// A list that comes in pages.
  constexpr bool is_paged() const { return query.find("cursor") != std::string_view::npos; }
  /// Creates something: asked again with the same key, it gives the same answer.
  constexpr bool takes_key() const { return verb == "ticket.add"; }
  /// A change that can be asked for on the condition that its ticket is as it was read.
  constexpr bool takes_match() const {
    return is_change() && verb.starts_with("ticket.") && verb != "ticket.add";
  }
  /// Media type of the answer; of an asset that of the file.
  std::string_view media() const;
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

/// The words of a list with blanks between.
std::vector<std::string_view> words_of(std::string_view list);

/// Finds the row of a request.
RouteMatch match_route(RouteKey key);

/// "%C3%A9" to its bytes; false for a bad escape, for control characters and for what is not UTF-8.
bool percent_decode(std::string_view text, std::string& out);

}  // namespace leadwright
