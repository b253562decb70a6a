// SPDX-License-Identifier: Apache-2.0
#include "daemon/web/reply.h"

#include <algorithm>
#include <boost/json/object.hpp>
#include <boost/json/parse.hpp>
#include <boost/json/serialize.hpp>

#include "daemon/battery/content_hash.h"

namespace leadwright {
namespace {

/// No script at all, but style inside a drawing, and the browser's own viewer of PDF, which counts as an
/// object.
constexpr const char* paper_policy =
    "default-src 'none'; style-src 'unsafe-inline'; object-src 'self'; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'";

/// The same list from the cursor on.
std::string next_link(const Route& route, const Request& request, const std::string& cursor) {
  std::string link = "<";
  link.append(route.pattern).append("?cursor=").append(cursor);
  boost::json::error_code error;
  const auto query = boost::json::parse(request.body.empty() ? "{}" : request.body, error);
  if (!error && query.is_object()) {
    for (const auto& [key, value] : query.get_object()) {
      if (key == "cursor" || !value.is_string()) continue;
      link.append("&").append(key).append("=").append(value.get_string());
    }
  }
  return link + ">; rel=\"next\"";
}

}  // namespace

std::string_view title_of(int status) {
  switch (status) {
    case 400:
      return "the request can't be read";
    case 401:
      return "the bench does not know who asks";
    case 403:
      return "who asks may not do this";
    case 404:
      return "there is no such thing";
    case 405:
      return "this can't be done with it";
    case 408:
      return "the request took too long";
    case 409:
      return "it does not fit what stands here now";
    case 412:
      return "it was changed meanwhile";
    case 413:
      return "the body is too large";
    case 415:
      return "the body is not JSON";
    case 421:
      return "the address is not this bench's";
    case 422:
      return "this bench can't do that";
    case 429:
      return "too many streams are open";
    case 431:
      return "the header is too large";
    case 503:
      return "the bench can't answer now";
    default:
      return "the bench has failed";
  }
}

Reply problem(int status, const Error& error) {
  boost::json::object body{
      {"type", "about:blank"}, {"title", title_of(status)}, {"status", status}, {"code", word(error.code)}};
  body["detail"] = error.what;
  body["where"] = error.where;
  body["mend"] = error.mend;
  return {status, "application/problem+json", boost::json::serialize(body), {}, false};
}

Reply reply_of(const Route& route, const Request& request, Response response) {
  Reply reply{response.status, "application/json", std::move(response.body), {}, false};
  if (reply.status >= 400) {
    reply.content_type = "application/problem+json";
    return reply;
  }
  reply.content_type = route.media();
  if (!response.next.empty()) reply.more.emplace_back("Link", next_link(route, request, response.next));
  if (route.kind == RouteKind::paper) {
    const bool is_pdf = route.pattern.ends_with(".pdf");
    std::string as = "inline; filename=\"";
    as.append(request.subject).append(is_pdf ? ".pdf\"" : ".svg\"");
    reply.more.emplace_back("Content-Disposition", std::move(as));
    reply.more.emplace_back("Content-Security-Policy", paper_policy);
  }
  return reply;
}

void tag(const Route& route, std::string_view if_none_match, Reply& reply) {
  if (!route.is_tagged() || reply.status != 200) return;
  std::string_view body = reply.body;
  std::string name;
  if (route.kind == RouteKind::snapshot) {
    // It begins with the time, which is always another: weak, since the bytes do differ.
    body.remove_prefix(std::min(body.find(','), body.size()));
    name = "W/";
  }
  const std::string strong = content_tag(body);
  name += strong;
  reply.more.emplace_back("ETag", name);
  if (if_none_match != "*" && if_none_match.find(strong) == std::string_view::npos) return;
  reply.status = 304;
  reply.body.clear();
}

const HeaderLines& security_headers() {
  static const HeaderLines lines{
      {"Content-Security-Policy",
       "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self' data:; "
       "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"},
      {"X-Content-Type-Options", "nosniff"},
      {"X-Frame-Options", "DENY"},
      {"Referrer-Policy", "no-referrer"},
      {"Cross-Origin-Opener-Policy", "same-origin"},
      {"Cross-Origin-Resource-Policy", "same-origin"},
      {"Cache-Control", "no-store"},
  };
  return lines;
}

}  // namespace leadwright
