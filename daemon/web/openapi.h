// SPDX-License-Identifier: Apache-2.0
// The OpenAPI 3.1 document, made from the table of operations and the schemas in api/*.json, so that it can't
// say anything else than the router does. Pure; any thread. Read next: routes.h.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "daemon/web/routes.h"

namespace leadwright {

/// The document as JSON text. Takes some milliseconds, so it is made once.
const std::string& openapi_document();

/// Statuses with which an operation may refuse, ascending: those that follow from what it takes, and its own.
std::vector<int> refusals_of(const Route& route);

/// "ticket" of "/api/v1/tickets/{ticket}/move"; empty if the path has no parameter.
std::string_view subject_name(const Route& route);

}  // namespace leadwright
