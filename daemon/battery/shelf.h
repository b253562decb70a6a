// SPDX-License-Identifier: Apache-2.0
// What standing does to acid: how fast it weakens, and when it freezes. Pure; any thread. Shared domain
// notes, sections 5 and 8.
#pragma once

#include <optional>

#include "daemon/battery/ocv.h"

namespace leadwright {

/// Of the acid of a flooded battery at this state of charge, 0..1 (F: TM 5-4210-230-14&P-1, table 2: 1.120,
/// 1.155, 1.190, 1.225, 1.265 at every quarter). Linear between rows.
SpecificGravity gravity_at(double soc);

/// At this the acid begins to freeze (F: TM 5-4210-230-14&P-1, table 2; below SG 1.120 the tables of the same
/// section, which agree within 1 K). Linear between rows. Stronger acid than 1.265 is answered as 1.265,
/// -59.5 degC: on the safe side.
Celsius freezing_point(SpecificGravity gravity);

/// Gravity lost while standing, antimonial grids, first days (F: TM 9-6140-200-14: 0.0025 a day at 100 degF,
/// 0.001 at 80, 0.0003 at 50). Its logarithm is linear in temperature between them (C: it doubles every 10
/// K). Missing outside 50 to 100 degF.
std::optional<SpecificGravity> gravity_lost(Celsius stored, Second stood);

}  // namespace leadwright
