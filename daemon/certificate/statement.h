// SPDX-License-Identifier: Apache-2.0
// The certificate as text, one line a fact, in one order: what is signed. A person can read it without a
// program, and it holds everything that the page shows and what the page had no room for. Pure; any thread.
//
// First line "Leadwright certificate statement, version 1", then "NAME: VALUE" lines; a name that holds for
// several lines is repeated. The plot is one line, "SECONDS VOLTS" pairs with commas between. Nothing is
// empty.
#pragma once

#include <string>

#include "daemon/certificate/certificate.h"

namespace leadwright {

/// The same certificate always gives the same bytes. Control characters in a value become spaces.
std::string statement(const Certificate& certificate);

}  // namespace leadwright
