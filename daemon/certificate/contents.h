// SPDX-License-Identifier: Apache-2.0
// From what the bench knows of a visit to what its certificate states. Pure; any thread. Never: names a
// person, but the one who inspected the battery, as typed. Read next: certificate.h, certificate_source.h.
#pragma once

#include <optional>
#include <vector>

#include "daemon/battery/sample.h"
#include "daemon/certificate/certificate.h"
#include "daemon/queue/ledger.h"
#include "protocol/result.h"

namespace leadwright {

/// What certificate_of reads. `file` outlives the call.
struct CertificateSource {
  const TicketFile& file;
  bool simulated = false;
  std::vector<AuditEntry> ticket_audit;  ///< rows whose subject is the ticket, oldest first
  std::vector<AuditEntry> places_audit;  ///< rows whose subject is a place of its runs, oldest first
  std::vector<Sample> discharge = {};    ///< samples of plotted_run; empty: no plot
};

/// The run whose voltage is worth a plot: that of the reserve capacity, else of the 20-hour capacity, else of
/// the load test. Nothing if none of them was made.
std::optional<RunId> plotted_run(const TicketFile& file);

/// Fails with conflict for a ticket that has no grade.
Result<Certificate> certificate_of(const CertificateSource& source);

}  // namespace leadwright
