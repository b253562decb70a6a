// SPDX-License-Identifier: Apache-2.0
// A blocking HTTP/1.1 client for the bench's own API. For: the client program, the simulated bench hand and
// tests. Any thread; one connection a call. Never: TLS, redirects, proxies. Read next: output.h.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "protocol/result.h"

namespace leadwright {

using HttpHeaders = std::vector<std::pair<std::string, std::string>>;

struct HttpAnswer {
  int status = 0;
  std::string content_type;
  std::string body;
  std::string next = {};  ///< path and query of the next page of a list, out of its Link; empty if none
};

/// One call. A body is sent as application/json.
struct HttpCall {
  std::string method = "GET";
  std::string path = "/";
  std::string body;
  HttpHeaders headers;
};

/// Sends one request to `base_url` ("http://host:port") and gives the answer, whatever its status. Fails with
/// bad_input for an address that can't be read, link_lost if nothing answers there, timed_out after 30 s,
/// garbled for an answer that is not HTTP.
Result<HttpAnswer> http_request(const std::string& base_url, const HttpCall& call);

/// The same with its parts in a row: `method` and `path` as in "GET", "/api/v1/bench".
inline Result<HttpAnswer> http_request(const std::string& base_url, std::string method, std::string path,
                                       std::string body = {}, HttpHeaders headers = {}) {
  return http_request(base_url,
                      HttpCall{std::move(method), std::move(path), std::move(body), std::move(headers)});
}

/// One event of a stream of server-sent events. The views end with the call.
struct HttpEvent {
  std::string_view name;
  std::string_view data;
};

/// Follows a stream of server-sent events until `take` returns false (success) or the stream ends: link_lost
/// if it was cut, timed_out after 40 s without a byte, refused with the problem's text for another status
/// than 200.
Result<void> http_follow(const std::string& base_url, const std::string& path,
                         const std::function<bool(const HttpEvent&)>& take, const HttpHeaders& headers = {});

/// The header that says who does it. Anything outside printable ASCII is percent-encoded, and "%" itself.
std::pair<std::string, std::string> actor_header(std::string_view actor);

}  // namespace leadwright
