// SPDX-License-Identifier: Apache-2.0
#include "daemon/certificate/certificate_source.h"

#include <set>

#include "daemon/certificate/contents.h"
#include "daemon/queue/ledger.h"
#include "daemon/queue/problem.h"

namespace leadwright {

Result<Certificate> certificate_out_of(History& history, const std::string& ticket) {
  const auto id = parse_ticket_id(ticket);
  if (!id) return tl::unexpected<Error>(id.error());
  auto visit = history.visit(*id);
  if (!visit) return pass(visit);
  const bool simulated = visit->simulated;
  Ledger ledger;
  ledger.load(std::move(*visit));
  const TicketFile* file = ledger.find(*id);
  if (file == nullptr) return tl::unexpected<Error>(no_ticket(ticket));
  CertificateSource source{*file, simulated, {}, {}};
  auto audit = history.audit_of(ticket);
  if (!audit) return pass(audit);
  source.ticket_audit = std::move(*audit);
  std::set<std::string> places;
  for (const Run& run : file->runs) places.insert(run.place);
  for (const std::string& place : places) {
    auto rows = history.audit_of(place);
    if (!rows) return pass(rows);
    source.places_audit.insert(source.places_audit.end(), rows->begin(), rows->end());
  }
  if (const auto run = plotted_run(*file)) {
    auto samples = history.trace(*run);
    if (!samples) return pass(samples);
    source.discharge = std::move(*samples);
  }
  return certificate_of(source);
}

}  // namespace leadwright
