// SPDX-License-Identifier: Apache-2.0
// Charge retention: how the voltage falls over days at rest, and the self-discharge that this means. Pure;
// any thread. Shared domain notes, section 8.
#pragma once

#include <optional>
#include <string>

#include "daemon/battery/findings.h"

namespace leadwright {

/// Findings rest_slope and self_discharge from `of` = one rest of at least 24 h; of a longer one the first
/// 24 h are left out (surface charge). Each voltage is referred to 25 degC where a temperature was measured.
/// Fails with unsupported if less than 12 h with readings are left.
Result<Findings> state_retention(const FindingRequest& request);

/// One look at a battery that stands alone.
struct StandingLook {
  Volt volts;
  Volt u_meter;  ///< by the voltmeter's profile
  Volt u_noise;
  std::optional<Celsius> battery;
  std::string meter;  ///< which voltmeter, as it states itself; empty if nobody knows
  Utc at;
};

/// How fast a standing battery falls, as it would at 20 degC: self-discharge doubles with 10 K (F, C).
struct FallAtRest {
  double mv_per_day = 0.0;  ///< positive when it falls
  double u = 0.0;           ///< standard uncertainty, same unit
  Second over;
};

/// Between two looks, the later last. One meter's error is the same at both and leaves its drift alone; two
/// meters' errors both count. Missing unless time has passed.
std::optional<FallAtRest> fall_between(const StandingLook& first, const StandingLook& last, int cells);

}  // namespace leadwright
