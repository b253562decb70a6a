// SPDX-License-Identifier: Apache-2.0
// Amounts as typed on the command line. Pure; any thread.
#pragma once

#include <string>
#include <string_view>

#include "protocol/result.h"

namespace leadwright {

struct AmountOption {
  std::string_view name;  ///< "--cca", for the error
  std::string_view unit;  ///< "A"
};

/// "640 A", "640A" or "640" as a number in the option's unit. Fails with bad_input for another
/// unit, for what is no finite number, and for a decimal comma.
Result<double> amount_of(std::string_view text, AmountOption option);

}  // namespace leadwright
