// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/acid_findings.h"

#include <algorithm>
#include <string_view>

#include "daemon/battery/acid.h"
#include "daemon/battery/procedure_names.h"

namespace leadwright {

namespace {

/// Takes less than 0.2 Ah, a hundredth of the gravity that a hydrometer can tell.
bool leaves_acid_alone(std::string_view procedure) {
  return only_looks(procedure) || is_resistance(procedure) || procedure == procedure_name::intake;
}

const Finding* newest_rested(const std::vector<Finding>& findings) {
  const Finding* newest = nullptr;
  for (const Finding& each : findings) {
    const bool is_rested = each.measurand == Measurand::ocv && each.conditions.starts_with("rested");
    if (is_rested && (newest == nullptr || each.at >= newest->at)) newest = &each;
  }
  return newest;
}

bool moved_between(const std::vector<Run>& runs, Utc one, Utc other) {
  const Utc first = std::min(one, other);
  const Utc last = std::max(one, other);
  return std::ranges::any_of(runs, [first, last](const Run& run) {
    return run.started_at <= last && run.ended_at.value_or(last) > first && !leaves_acid_alone(run.procedure);
  });
}

std::vector<Finding> acid_findings(const TicketFile& file, const AcidSettings& settings) {
  const auto& acid = file.ticket.inspection.acid;
  if (!acid) return {};
  std::vector<Finding> findings = findings_of(*acid, settings);
  for (Finding& finding : findings) finding.ticket = file.ticket.id;
  return findings;
}

std::optional<Finding> voltage_against_acid(const TicketFile& file, const AcidSettings& settings) {
  const auto& acid = file.ticket.inspection.acid;
  const Finding* ocv = newest_rested(file.findings);
  if (!acid || ocv == nullptr || moved_between(file.runs, acid->at, ocv->at)) return std::nullopt;
  const Utc at = std::max(acid->at, ocv->at);
  for (const Finding& known : file.findings) {
    if (known.measurand == Measurand::ocv_above_acid && known.at >= at) return std::nullopt;
  }
  auto finding = ocv_above_acid(*acid, *ocv, file.battery.nameplate.cells, settings);
  if (finding) finding->at = at;
  return finding;
}

}  // namespace

void note_acid(TicketFile& file, const AcidSettings& settings, Batch& batch) {
  for (Finding& finding : acid_findings(file, settings)) {
    batch.emplace_back(finding);
    file.findings.push_back(std::move(finding));
  }
  compare_acid(file, settings, batch);
}

void compare_acid(TicketFile& file, const AcidSettings& settings, Batch& batch) {
  auto finding = voltage_against_acid(file, settings);
  if (!finding) return;
  batch.emplace_back(*finding);
  file.findings.push_back(std::move(*finding));
}

}  // namespace leadwright
