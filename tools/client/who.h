// SPDX-License-Identifier: Apache-2.0
// The name behind a code, by what an answer says of people. Inside this folder's .cpp files only.
#pragma once

#include <string>

#include "tools/client/json_view.h"

namespace leadwright {

/// `people` as in a ticket's page; "a person whose name was erased (P-7)" for who has none in it.
std::string who(const boost::json::value& people, const std::string& code);

}  // namespace leadwright
