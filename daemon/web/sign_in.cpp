// SPDX-License-Identifier: Apache-2.0
#include "daemon/web/sign_in.h"

#include <boost/json/object.hpp>
#include <boost/json/serialize.hpp>

namespace leadwright {
namespace {

/// Longer than a shift, so that nobody has to type at noon.
constexpr const char* kept_s = "43200";

std::string cookie(const std::string& token, const char* max_age_s, bool is_tls) {
  std::string line(token_cookie);
  line.append("=").append(token).append("; Path=/; Max-Age=").append(max_age_s);
  line.append("; HttpOnly; SameSite=Strict");
  if (is_tls) line.append("; Secure");
  return line;
}

}  // namespace

Reply sign_in_reply(const Admitted& admitted, const Access& access) {
  boost::json::object body{{"holder", nullptr}, {"rank", nullptr}, {"tokens", access.tokens != nullptr}};
  const bool ends = admitted.route->verb == "session.end";
  if (!access.tokens) body["rank"] = std::string(word(Rank::supervisor));
  if (access.tokens && !ends) {
    body["holder"] = admitted.holder;
    body["rank"] = std::string(word(admitted.rank));
  }
  Reply reply{200, "application/json", boost::json::serialize(body), {}, false};
  if (!access.tokens || !admitted.route->is_change()) return reply;
  reply.more.emplace_back("Set-Cookie", ends ? cookie("", "0", access.behind_proxy)
                                             : cookie(admitted.token, kept_s, access.behind_proxy));
  return reply;
}

}  // namespace leadwright
