// SPDX-License-Identifier: Apache-2.0
// Who hangs on a link, and does it do what its profile says, as far as that can be seen without energy. For:
// `leadwright instrument probe`. Thread: that of the clock. Never: switches anything on; with a profile it
// sends the profile's own words for the safe state first. Read next: probe_report.h (what comes out of it),
// probe_step.h (how an unknown instrument is asked), wire_fault.h (what is said when nothing answers).
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "drivers/link.h"
#include "drivers/profile.h"
#include "tools/client/instrument/probe_report.h"

namespace leadwright {

struct ProbeOrder {
  LinkAddress address;
  std::vector<SerialSettings> tries;  ///< in this order, until somebody answers; at least one
  const Profile* profile = nullptr;   ///< null: only who answers
  int samples = 100;
  bool settings = false;    ///< try each setting's read-back too, with the output off
  std::optional<int> unit;  ///< Modbus address; absent: the profile's, or 1
};

/// A line for whoever watches, as it happens.
using ProbeVoice = std::function<void(const std::string& line)>;

/// Every exchange is told to `say`, but for those of the samples after the first few. Fails with the error of
/// the wire (see wire_fault), with refused if the profile's questions do more than ask, with bad_input if the
/// profile does not allow this kind of link. What the instrument does differently from its profile is no
/// failure: the report says so.
Task<Result<ProbeReport>> probe(ProbeOrder order, LinkFactory& links, Clock& machine, ProbeVoice say);

}  // namespace leadwright
