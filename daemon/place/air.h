// SPDX-License-Identifier: Apache-2.0
// Fresh air that a charge needs so that its hydrogen stays far below what burns. Pure; any thread.
#pragma once

#include "daemon/procedure/procedure.h"
#include "daemon/settings/precautions.h"

namespace leadwright {

/// At worst all of the current makes gas: Q = 0.05 n I in m3/h, which is the rule of IEC 62485-2, Q = 0.05 n
/// I_gas C/1000, with all of the current for I_gas C (shared domain notes, section 7: F; their C: 10 A into
/// six cells need 3.0 m3/h).
Airflow air_needed(Ampere charge, int cells);

/// The most that a step of it puts in, as far as `values` tell before the run (bind_names first).
Ampere heaviest_charge(const Procedure& procedure, Values values);

}  // namespace leadwright
