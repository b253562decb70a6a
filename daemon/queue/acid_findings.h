// SPDX-License-Identifier: Apache-2.0
// What a look with a hydrometer adds to a ticket's findings, and when its acid may be compared with a resting
// voltage. Thread: control. Read next: ../battery/acid.h.
#pragma once

#include "daemon/battery/acid_settings.h"
#include "daemon/queue/ledger.h"

namespace leadwright {

/// Adds what its newest look says, at the moment of that look, to the file and to the batch.
void note_acid(TicketFile& file, const AcidSettings& settings, Batch& batch);

/// The same of its newest rested voltage against its newest look, if nothing that puts charge in or takes it
/// lay between the two and it is not among the findings yet.
void compare_acid(TicketFile& file, const AcidSettings& settings, Batch& batch);

}  // namespace leadwright
