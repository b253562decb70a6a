// SPDX-License-Identifier: Apache-2.0
// Tickets on their way through the chain, for tests of the planner.
#pragma once

#include <string>
#include <string_view>
#include <utility>

#include "daemon/queue/planner.h"

namespace leadwright {

inline TicketFile received() {
  TicketFile file;
  file.ticket.state = TicketState::waiting;
  file.battery.nameplate.chemistry = Chemistry::flooded;
  file.battery.nameplate.cells = 6;
  return file;
}

inline void add_run(TicketFile& file, std::string_view procedure, RunOutcome outcome = RunOutcome::complete) {
  leadwright::Run run;
  run.id = RunId{static_cast<std::int64_t>(file.runs.size()) + 1};
  run.procedure = procedure;
  run.outcome = outcome;
  run.end_reason = "as the test wants";
  file.runs.push_back(std::move(run));
}

/// Stated by the newest run.
inline void add_finding(TicketFile& file, Measurand measurand, double value) {
  Finding finding;
  finding.measurand = measurand;
  finding.value = value;
  finding.run = file.runs.empty() ? RunId{} : file.runs.back().id;
  finding.at = Utc(1000 * static_cast<std::int64_t>(finding.run));
  file.findings.push_back(std::move(finding));
}

inline std::string next(const TicketFile& file) {
  const auto work = next_work(file, Policy{});
  return work ? work->procedure : "";
}

/// Charged, rested, its resistance known.
inline TicketFile ready_for_capacity() {
  TicketFile file = received();
  add_run(file, procedure_name::intake);
  add_run(file, procedure_name::charge);
  add_run(file, procedure_name::rest);
  add_finding(file, Measurand::soc, 0.99);
  add_run(file, procedure_name::resistance);
  return file;
}

/// A draw at cranking current is required, and a load test may decide.
inline Policy asks_for_load() {
  Policy policy;
  policy.high_rate_draw_required = true;
  policy.criteria.push_back(CriterionKind::half_cca_load);
  return policy;
}

/// As it came, rested at this state of charge; its label states a CCA.
inline TicketFile rested_at(double soc) {
  TicketFile file = received();
  file.battery.nameplate.cca = Rating<Ampere>{Ampere(640.0), RatingStandard::en};
  add_run(file, procedure_name::intake);
  add_finding(file, Measurand::ocv, 12.7);
  add_run(file, procedure_name::rest);
  add_finding(file, Measurand::soc, soc);
  return file;
}

/// `u`: standard uncertainty of the margin.
inline void add_load_test(TicketFile& file, double margin, double u = 0.0) {
  add_run(file, procedure_name::resistance);
  add_run(file, procedure_name::half_cca_load);
  add_finding(file, Measurand::load_margin, margin);
  file.findings.back().u = u;
}

}  // namespace leadwright
