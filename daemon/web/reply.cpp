// SPDX-License-Identifier: Apache-2.0
#include "daemon/web/reply.h"

#include <boost/json/object.hpp>
#include <boost/json/serialize.hpp>

namespace leadwright {
namespace {

std::string_view title(int status) {
  switch (status) {
    case 400:
      return "the request can't be read";
    case 403:
      return "the request comes from elsewhere";
    case 404:
      return "there is no such thing";
    case 405:
      return "this can't be done with it";
    case 408:
      return "the request took too long";
    case 413:
      return "the body is too large";
    case 415:
      return "the body is not JSON";
    case 421:
      return "the address is not this bench's";
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

}  // namespace

Reply problem(int status, const Error& error) {
  boost::json::object body{
      {"type", "about:blank"}, {"title", title(status)}, {"status", status}, {"code", word(error.code)}};
  body["detail"] = error.what;
  body["where"] = error.where;
  body["mend"] = error.mend;
  return {status, "application/problem+json", boost::json::serialize(body), {}, false};
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
