// SPDX-License-Identifier: Apache-2.0
// What a cold cranking rating means in the standard that it is stated in. Nothing is converted between
// standards. Pure; any thread. Shared domain notes, section 3.
#pragma once

#include "daemon/quantities/quantity.h"

namespace leadwright {

/// EN 50342-1 (F: two sources): 10 s at the rating, a pause, then 0.6 of it down to 6.0 V; the first phase
/// counts as 17 s of the second. At least 90 s in all for level 1, 150 s for level 2.
Second en_cranking_time(Second second_phase);

/// EN ratings are stated in steps of 10 A below 200 A, 20 below 300, 30 below 600, 40 below 800, 50 above
/// (F): the nearest step not above, and not below. A rating that is none is a misprint or of another
/// standard.
Ampere en_step_down(Ampere rating);
Ampere en_step_up(Ampere rating);

}  // namespace leadwright
