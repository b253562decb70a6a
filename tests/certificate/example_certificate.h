// SPDX-License-Identifier: Apache-2.0
// A graded visit as the bench keeps it, and the certificate of it, for tests.
#pragma once

#include "daemon/certificate/contents.h"
#include "daemon/certificate/signing.h"

namespace leadwright {

/// A sound battery: charged, loaded, emptied in 96.4 min; ticket 1, runs 1 to 4, graded B.
TicketFile sound_visit();
Finding example_of(Measurand measurand, double value, double u, RunId run);
/// 96 minutes at 25 A down to 10.5 V, a sample in ten seconds, after a minute of rest.
std::vector<Sample> example_discharge();

Certificate example_certificate();
/// Always the same pair; `number` gives another one.
SigningKey example_key(unsigned char number = 1);

}  // namespace leadwright
