// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/problem.h"

#include <fmt/format.h>

#include "daemon/store/json.h"

namespace leadwright {

namespace {

int status_of(Errc code) {
  switch (code) {
    case Errc::bad_input:
      return 400;
    case Errc::not_found:
      return 404;
    case Errc::conflict:
    case Errc::refused:
    case Errc::stopped:
      return 409;
    case Errc::unsupported:
      return 422;
    case Errc::busy:
    case Errc::io:
    case Errc::timed_out:
    case Errc::link_lost:
      return 503;
    case Errc::garbled:
    case Errc::not_verified:
    case Errc::bug:
      break;
  }
  return 500;
}

}  // namespace

Error no_place(const std::string& name) {
  return {Errc::not_found, "there is no place \"" + name + "\"", "place", "leadwright place list shows them"};
}

Error no_ticket(const std::string& shown_id) {
  return {Errc::not_found, "there is no ticket \"" + shown_id + "\"", "ticket",
          "give it as printed, check digit included: T-000001-3"};
}

Response problem(const Error& error) {
  return problem(error, status_of(error.code));
}

Response problem(const Error& error, int status) {
  const std::string name = json_string(word(error.code));
  return {status, fmt::format(R"({{"type":"about:blank","title":{0},"status":{1},"code":{0},"detail":{2},)"
                              R"("where":{3},"mend":{4}}})",
                              name, status, json_string(error.what), json_string(error.where),
                              json_string(error.mend))};
}

}  // namespace leadwright
