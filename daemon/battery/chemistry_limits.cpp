// SPDX-License-Identifier: Apache-2.0
#include "daemon/battery/chemistry_limits.h"

#include <algorithm>

namespace leadwright {
namespace {

constexpr Celsius compensation_zero{25.0};
/// F: 2.30 -> 2.27 V a cell from 25 to 35 degC, two vendors' formulas.
constexpr double compensation_v_per_k_and_cell = -0.003;
/// P: compensation is stated for workshop temperatures only.
constexpr Celsius compensation_lowest{0.0};
constexpr Celsius compensation_highest{50.0};

/// F: 2.40 V a cell at 25 degC, cyclic limit in general. AGM 14.4-14.8 V (M): the lower end.
constexpr Volt cell_charge_limit{2.40};
/// F: gel 14.1-14.4 V, never above 14.4 V. The compensated limit stops 20 mV a cell short of that, so that a
/// charger's own error can't carry the battery over it (P).
constexpr Volt gel_cell_charge_limit{2.35};
constexpr Volt gel_cell_charge_highest{2.38};
constexpr Volt gel_cell_never_above{2.40};

/// M: 16.0 V standard charge of flooded batteries is 2.67 V a cell.
constexpr Volt flooded_cell_max{2.70};
/// M: 14.8 V for AGM is 2.47 V a cell.
constexpr Volt agm_cell_max{2.50};
/// P: hard floor; the tests end at 1.75 V a cell and no lead battery is taken far below.
constexpr Volt cell_min{1.50};
/// F: 50 degC for valve-regulated, 51.6 degC for flooded batteries.
constexpr Celsius hottest_case{50.0};
/// P: below it the case may hold ice.
constexpr Celsius coldest_case{0.0};

Result<void> check(Chemistry chemistry, int cells) {
  if (!is_lead(chemistry)) {
    return fail(Errc::refused,
                std::string("a battery of chemistry \"") + word(chemistry) + "\" is never energised",
                "chemistry", "only lead batteries are tested here");
  }
  if (cells != 3 && cells != 6)
    return fail(Errc::bad_input, "cells must be 3 or 6", "cells", "count the cells");
  return {};
}

}  // namespace

Result<Volt> charge_limit(Chemistry chemistry, int cells, Celsius case_temperature) {
  if (auto checked = check(chemistry, cells); !checked) return pass(checked);
  const Celsius counted = std::clamp(case_temperature, compensation_lowest, compensation_highest);
  const Volt shift(compensation_v_per_k_and_cell * (counted - compensation_zero).si());
  if (treated_as(chemistry) == Chemistry::gel) {
    return std::min(gel_cell_charge_limit + shift, gel_cell_charge_highest) * static_cast<double>(cells);
  }
  return (cell_charge_limit + shift) * static_cast<double>(cells);
}

Result<EnvelopeOfChemistry> envelope_of(Chemistry chemistry, int cells) {
  if (auto checked = check(chemistry, cells); !checked) return pass(checked);
  const Volt cell_max = treated_as(chemistry) == Chemistry::gel ? gel_cell_never_above
                        : chemistry == Chemistry::agm           ? agm_cell_max
                                                                : flooded_cell_max;
  const auto count = static_cast<double>(cells);
  return EnvelopeOfChemistry{cell_max * count, cell_min * count, coldest_case, hottest_case};
}

}  // namespace leadwright
