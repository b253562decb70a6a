// SPDX-License-Identifier: Apache-2.0
#include "daemon/web/admit.h"

#include <algorithm>
#include <array>
#include <boost/json/object.hpp>
#include <boost/json/parse.hpp>
#include <boost/json/serialize.hpp>
#include <charconv>

#include "protocol/utf8.h"

namespace leadwright {
namespace {

constexpr std::size_t actor_length_max = 80;
constexpr std::size_t key_length_max = 128;
constexpr std::size_t body_depth_max = 16;
constexpr std::array<std::string_view, 3> own_names{"localhost", "127.0.0.1", "[::1]"};

tl::unexpected<Reply> refuse(int status, std::string what, std::string where, std::string mend) {
  const Errc code = status == 404 ? Errc::not_found : status == 400 ? Errc::bad_input : Errc::refused;
  return tl::unexpected<Reply>(problem(status, {code, std::move(what), std::move(where), std::move(mend)}));
}

/// "localhost:8417"; without a port only where the bench listens on HTTP's own.
bool is_own_authority(std::string_view authority, std::uint16_t port) {
  std::array<char, 8> digits{};
  const auto [end, error] = std::to_chars(digits.data(), digits.data() + digits.size(), port);
  const std::string_view own_port(digits.data(), static_cast<std::size_t>(end - digits.data()));
  for (const auto name : own_names) {
    if (authority.substr(0, name.size()) != name) continue;
    const auto rest = authority.substr(name.size());
    if (rest.empty()) return port == 80;
    return rest.front() == ':' && rest.substr(1) == own_port;
  }
  return false;
}

bool is_own_host(std::string_view host, const Access& access) {
  return is_own_authority(host, access.port) || std::ranges::find(access.names, host) != access.names.end();
}

bool is_own_origin(std::string_view origin, const Access& access) {
  constexpr std::string_view plain = "http://";
  constexpr std::string_view tls = "https://";
  if (origin.starts_with(plain) && is_own_host(origin.substr(plain.size()), access)) return true;
  return access.behind_proxy && origin.starts_with(tls) &&
         std::ranges::find(access.names, origin.substr(tls.size())) != access.names.end();
}

/// The holder of the token, if one is asked for. Whose it is goes with who they say they are.
tl::expected<void, Reply> authorise(const Head& head, const Access& access, Admitted& admitted) {
  const Rank needs = admitted.route->needs;
  if (!access.tokens || needs == Rank::anybody) return {};
  admitted.token = token_of(head);
  const auto holder = access.tokens->holder(admitted.token);
  if (!holder) {
    auto refusal =
        refuse(401, admitted.token.empty() ? "this bench asks for a token" : "this is no token of this bench",
               "Authorization", "send Authorization: Bearer TOKEN; leadwright token add makes one");
    refusal.value().more.emplace_back("WWW-Authenticate", "Bearer realm=\"leadwright\"");
    return refusal;
  }
  if (holder->rank < needs) {
    return refuse(403,
                  "this takes a " + std::string(word(needs)) + ", and the token \"" + holder->name +
                      "\" is of a " + std::string(word(holder->rank)),
                  "Authorization", "ask somebody who may");
  }
  admitted.holder = holder->name;
  admitted.rank = holder->rank;
  return {};
}

tl::expected<void, Reply> admit_change(const Head& head, const Access& access, const Route& route,
                                       Request& request) {
  const bool is_foreign_site =
      !head.fetch_site.empty() && head.fetch_site != "same-origin" && head.fetch_site != "none";
  if (is_foreign_site || (!head.origin.empty() && !is_own_origin(head.origin, access))) {
    return refuse(403, "changes are taken from the bench's own page and from programs only", "Origin",
                  "open the page at the bench's own address");
  }
  if (head.has_body && head.content_type.substr(0, 16) != "application/json") {
    return refuse(415, "the body is not declared as JSON", "Content-Type",
                  "send Content-Type: application/json");
  }
  if (!percent_decode(head.actor, request.actor) || trimmed(request.actor).empty() ||
      request.actor.size() > actor_length_max) {
    return refuse(400, "a change must say who makes it, in 1 to 80 bytes of plain text", "Leadwright-Actor",
                  "send the header Leadwright-Actor: NAME (percent-encode what is not ASCII)");
  }
  if (head.idempotency.size() > key_length_max || !percent_decode(head.idempotency, request.idempotency)) {
    return refuse(400, "the key is too long or is not plain text", "Idempotency-Key",
                  "send at most 128 bytes");
  }
  // What switches off is never refused for a condition.
  if (!head.if_match.empty() && !route.takes_match() && route.needs > Rank::viewer) {
    return refuse(400, "this change takes no condition", "If-Match", "leave it out: tickets alone have it");
  }
  if (route.takes_match()) request.if_match = head.if_match;
  return {};
}

/// "state=held&limit=20" as a JSON object of texts.
tl::expected<void, Reply> admit_query(const Route& route, std::string_view query, Request& request) {
  if (query.empty()) return {};
  const auto known = words_of(route.query);
  boost::json::object values;
  for (std::size_t start = 0; start <= query.size();) {
    const auto end = std::min(query.find('&', start), query.size());
    const auto pair = query.substr(start, end - start);
    start = end + 1;
    const auto equals = std::min(pair.find('='), pair.size());
    const auto key = pair.substr(0, equals);
    std::string value;
    const bool is_read = equals < pair.size() && percent_decode(pair.substr(equals + 1), value);
    if (!is_read || std::ranges::find(known, key) == known.end() || values.contains(key)) {
      std::string mend = known.empty() ? "leave the query out" : "use each of these once at most:";
      for (const auto name : known) mend.append(" ").append(name);
      return refuse(400, "the query can't be used here", std::string(pair), mend);
    }
    values[key] = value;
  }
  request.body = boost::json::serialize(values);
  return {};
}

}  // namespace

tl::expected<Admitted, Reply> admit(const Head& head, const Access& access) {
  if (head.host_lines != 1) return refuse(400, "there must be one Host line", "Host", "");
  if (!is_own_host(head.host, access)) {
    return refuse(421, "this bench does not go by that name", "Host",
                  "use localhost, 127.0.0.1 or [::1] with the bench's port");
  }
  const auto question = head.target.find('?');
  const auto path = head.target.substr(0, question);
  const auto query =
      question == std::string_view::npos ? std::string_view() : head.target.substr(question + 1);
  if (!is_clean_text(head.target)) return refuse(400, "the address is not plain text", "", "");
  auto match = match_route({head.method, path});
  if (match.allow.empty()) {
    return refuse(404, "there is nothing at this address", std::string(path), "see / or /api/v1/bench");
  }
  if (match.route == nullptr) {
    auto refusal =
        refuse(405, "this method is not for this address", std::string(path), "use " + match.allow);
    refusal.value().more.emplace_back("Allow", match.allow);
    return refusal;
  }
  Admitted admitted;
  admitted.route = match.route;
  admitted.if_none_match = head.if_none_match;
  admitted.request.verb = match.route->verb;
  admitted.request.subject = std::move(match.subject);
  if (auto ok = authorise(head, access, admitted); !ok) return tl::unexpected(ok.error());
  if (auto ok = admit_query(*match.route, query, admitted.request); !ok) return tl::unexpected(ok.error());
  if (!match.route->is_change()) return admitted;
  if (auto ok = admit_change(head, access, *match.route, admitted.request); !ok)
    return tl::unexpected(ok.error());
  if (!admitted.holder.empty() && admitted.request.actor != admitted.holder) {
    admitted.request.actor += " (token " + admitted.holder + ")";
  }
  return admitted;
}

std::string_view token_of(const Head& head) {
  constexpr std::string_view bearer = "Bearer ";
  if (head.authorization.starts_with(bearer)) return head.authorization.substr(bearer.size());
  for (auto rest = head.cookie; !rest.empty();) {
    const auto end = std::min(rest.find("; "), rest.size());
    const auto pair = rest.substr(0, end);
    rest.remove_prefix(std::min(end + 2, rest.size()));
    if (pair.starts_with(token_cookie) && pair.substr(token_cookie.size()).starts_with('=')) {
      return pair.substr(token_cookie.size() + 1);
    }
  }
  return {};
}

Result<void> check_no_members(std::string_view body) {
  if (auto read = check_body(body); !read) return read;
  // A member would have its name in quotes.
  if (body.find('"') == std::string_view::npos) return {};
  return fail(Errc::bad_input, "this takes no members", "body", "send {}");
}

Result<void> check_body(std::string_view body) {
  if (body.empty()) return {};
  boost::json::parse_options options;
  options.max_depth = body_depth_max;
  boost::json::error_code error;
  const auto value =
      boost::json::parse(boost::json::string_view(body.data(), body.size()), error, {}, options);
  if (error) return fail(Errc::bad_input, "the body is not JSON (" + error.message() + ")", "body", "");
  if (!value.is_object()) return fail(Errc::bad_input, "the body is not a JSON object", "body", "send {...}");
  return {};
}

}  // namespace leadwright
