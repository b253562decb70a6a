// SPDX-License-Identifier: Apache-2.0
#include "daemon/web/admit.h"

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

bool is_own_origin(std::string_view origin, std::uint16_t port) {
  constexpr std::string_view scheme = "http://";
  return origin.substr(0, scheme.size()) == scheme && is_own_authority(origin.substr(scheme.size()), port);
}

tl::expected<void, Reply> admit_change(const Head& head, std::uint16_t port, Request& request) {
  const bool is_foreign_site =
      !head.fetch_site.empty() && head.fetch_site != "same-origin" && head.fetch_site != "none";
  if (is_foreign_site || (!head.origin.empty() && !is_own_origin(head.origin, port))) {
    return refuse(403, "changes are taken from the bench's own page and from programs only", "Origin",
                  "open the page at the bench's own address");
  }
  if (head.has_body && head.content_type.substr(0, 16) != "application/json") {
    return refuse(415, "the body is not declared as JSON", "Content-Type",
                  "send Content-Type: application/json");
  }
  if (!percent_decode(head.actor, request.actor) || request.actor.empty() ||
      request.actor.size() > actor_length_max) {
    return refuse(400, "a change must say who makes it, in 1 to 80 bytes of plain text", "Leadwright-Actor",
                  "send the header Leadwright-Actor: NAME (percent-encode what is not ASCII)");
  }
  if (head.idempotency.size() > key_length_max || !percent_decode(head.idempotency, request.idempotency)) {
    return refuse(400, "the key is too long or is not plain text", "Idempotency-Key",
                  "send at most 128 bytes");
  }
  return {};
}

tl::expected<void, Reply> admit_query(const Route& route, std::string_view query, Request& request) {
  if (query.empty()) return {};
  const auto equals = query.find('=');
  const auto key = query.substr(0, equals);
  std::string value;
  if (route.query.empty() || key != route.query || equals == std::string_view::npos ||
      !percent_decode(query.substr(equals + 1), value)) {
    const std::string mend =
        route.query.empty() ? "leave the query out" : "use ?" + std::string(route.query) + "=";
    return refuse(400, "the query can't be used here", std::string(query), mend);
  }
  request.body = boost::json::serialize(boost::json::object{{key, value}});
  return {};
}

}  // namespace

tl::expected<Admitted, Reply> admit(const Head& head, std::uint16_t port) {
  if (head.host_lines != 1) return refuse(400, "there must be one Host line", "Host", "");
  if (!is_own_authority(head.host, port)) {
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
  Admitted admitted{match.route, {}};
  admitted.request.verb = match.route->verb;
  admitted.request.subject = std::move(match.subject);
  if (auto ok = admit_query(*match.route, query, admitted.request); !ok) return tl::unexpected(ok.error());
  if (!match.route->is_change()) return admitted;
  if (auto ok = admit_change(head, port, admitted.request); !ok) return tl::unexpected(ok.error());
  return admitted;
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
