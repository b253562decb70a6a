// SPDX-License-Identifier: Apache-2.0
// Amounts as typed on the command line. Pure; any thread.
#pragma once

#include <array>
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

/// A rating of a label as typed, and the keys of the drop-off that it is for.
struct RatingOption {
  const char* key;
  const char* standard_key;
  std::string_view text;
  AmountOption option;
};

inline std::array<RatingOption, 3> ratings_of(std::string_view cca, std::string_view reserve_capacity,
                                              std::string_view c20) {
  return {{{"cca_a", "cca_standard", cca, {"--cca", "A"}},
           {"reserve_capacity_min", "reserve_capacity_standard", reserve_capacity, {"--rc", "min"}},
           {"c20_ah", "c20_standard", c20, {"--c20", "Ah"}}}};
}

}  // namespace leadwright
