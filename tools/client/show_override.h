// SPDX-License-Identifier: Apache-2.0
// Other letters than the bench's own, as people read them. Pure.
#pragma once

#include <string>

namespace leadwright {

/// The answer of a proposal, a confirmation or a withdrawal, in a line; as it came if it can't be read.
std::string show_override(const std::string& body);
/// Of a ticket's page: which letter stands, and every proposal. Empty without any.
std::string overrides_section(const std::string& page);

}  // namespace leadwright
