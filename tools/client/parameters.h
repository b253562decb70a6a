// SPDX-License-Identifier: Apache-2.0
// Parameters of a procedure as typed: --with name='25 A'.
#pragma once

#include <boost/json/object.hpp>
#include <string>
#include <vector>

#include "protocol/result.h"

namespace leadwright {

/// {"name":"25 A"}. Fails with bad_input for what has no "=".
inline Result<boost::json::object> parameters_of(const std::vector<std::string>& with) {
  boost::json::object parameters;
  for (const std::string& each : with) {
    const std::size_t at = each.find('=');
    if (at == std::string::npos || at == 0) {
      return fail(Errc::bad_input, "\"" + each + "\" is no parameter", "--with", "write --with name='25 A'");
    }
    parameters[each.substr(0, at)] = each.substr(at + 1);
  }
  return parameters;
}

}  // namespace leadwright
