// SPDX-License-Identifier: Apache-2.0
// Must somebody be there while this run is energised? One rule for places, procedures and charges. Pure; any
// thread.
#pragma once

#include <optional>
#include <string>

#include "daemon/battery/nameplate.h"
#include "daemon/procedure/procedure.h"

namespace leadwright {

struct AttendanceFacts {
  bool place_is_attended_only = true;
  /// The policy lets hard charges go on alone at places that have protection of their own.
  bool unattended_allowed = false;
  /// As it stands before energy, or as it was last seen; missing if nobody has seen it.
  std::optional<Volt> volts;
};

/// The reason in words, or empty: a place that is attended only; a procedure that says so of itself, as a
/// recovery does; a charge above 2.40 V a cell at 25 degC and the same at other temperatures; a charge of a
/// battery that stands below 1.75 V a cell. Only the first can't be allowed by a policy.
std::string why_attended(const Procedure& procedure, const Nameplate& nameplate, const Values& values,
                         const AttendanceFacts& facts);

}  // namespace leadwright
