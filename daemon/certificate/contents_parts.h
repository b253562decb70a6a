// SPDX-License-Identifier: Apache-2.0
// The parts that contents.cpp puts together. Private to this folder. Pure.
#pragma once

#include "daemon/certificate/contents.h"

namespace leadwright {

/// Newest of each measurand from complete runs, up to the moment of the grade, the most telling first.
std::vector<const Finding*> judged_findings(const TicketFile& file);
std::vector<CertifiedFinding> certified_findings(const std::vector<const Finding*>& judged);
/// The reserve capacity in a few words; a lower bound says so, a forecast counts for nothing.
std::string minutes_words(const std::vector<const Finding*>& judged);
/// Whole sentences about what a reader would look for and won't find.
std::vector<std::string> not_measured_of(const std::vector<const Finding*>& judged);
/// Values marked M in policies, settings and sources that stand behind these findings or the grade.
std::vector<std::string> remembered_values(const TicketFile& file, const std::vector<const Finding*>& judged);

std::vector<CertificateFact> nameplate_facts(const Battery& battery);
std::vector<CertificateFact> visit_facts(const Ticket& ticket, const std::vector<AuditEntry>& audit);
/// Consents, and answers of a person at the places of its runs, while it stood there.
std::vector<std::string> overrides_of(const CertificateSource& source);

/// The run whose discharge is worth a plot, by what was judged; see plotted_run.
std::optional<RunId> plotted_run_of(const std::vector<const Finding*>& judged);
std::optional<CertifiedPlot> plot_of(const TicketFile& file, const std::vector<const Finding*>& judged,
                                     const std::vector<Sample>& discharge);

}  // namespace leadwright
