// SPDX-License-Identifier: Apache-2.0
// Faults of a line in words, as a command gives them.
#pragma once

#include <string_view>

#include "drivers/cable.h"
#include "protocol/result.h"

namespace leadwright {

/// KIND with its numbers, then any of "question" (strikes what goes to the instrument), "after N" (lets N
/// messages pass), "times N" (strikes N in a row) and "always". KIND is
///   lost | late SECONDS | truncated BYTES | dropped BYTE | doubled | split PIECES SECONDS | flipped BIT |
///   rubbish BYTES | endless
/// Fails with bad_input, saying which word is wrong.
Result<CableFault> read_cable_fault(std::string_view words);

}  // namespace leadwright
