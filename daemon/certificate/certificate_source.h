// SPDX-License-Identifier: Apache-2.0
// A certificate's contents out of the store. Short reads on a read-only connection. Thread: one at a time,
// never control's, never the web's.
#pragma once

#include <string>

#include "daemon/certificate/certificate.h"
#include "daemon/store/history.h"

namespace leadwright {

/// `ticket` as shown, "T-000001-3". Fails with bad_input for what is no ticket number, not_found for one that
/// is not stored, conflict for one without a grade, and as History does.
Result<Certificate> certificate_out_of(History& history, const std::string& ticket);

}  // namespace leadwright
