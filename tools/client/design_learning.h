// SPDX-License-Identifier: Apache-2.0
// From the bench's own answers to the as-new curve of a design: which ticket's battery was sound, and how its
// reserve capacity run went. Pure; any thread. Read next: daemon/battery/design_curve.h.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "daemon/battery/design_curve.h"

namespace leadwright {

/// A battery whose discharge may teach: no fault, grade A or B, and 90 % of its rating at least at the
/// reference temperature (F: what the standards' compliance rules ask of the weakest sample).
struct SoundBattery {
  DesignKey key;
  int cells = 0;
  std::string serial;
  std::string run;  ///< "R-000012", of its last complete reserve capacity
};
/// From a ticket as the API gives it. Fails with unsupported, with the reason, for one that may not teach.
Result<SoundBattery> sound_battery(std::string_view ticket);

/// Its draw, with the samples that DesignTrace looks at.
struct SoundDischarge {
  std::vector<Sample> samples;
  Second full_from;
  Second at_full;
};
/// From a run's trace as the API gives it.
Result<SoundDischarge> sound_discharge(const SoundBattery& battery, std::string_view trace);

}  // namespace leadwright
