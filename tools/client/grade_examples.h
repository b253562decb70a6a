// SPDX-License-Identifier: Apache-2.0
// Five invented tickets, from samples over findings and rules to what is done: the page config/gradings.md.
// Pure but for the policies that it reads.
#pragma once

#include <string>

#include "protocol/result.h"

namespace leadwright {

/// Markdown. Fails as the reading of a shipped policy does.
Result<std::string> gradings_page(const std::string& policies_folder);

}  // namespace leadwright
