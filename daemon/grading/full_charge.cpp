// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/full_charge.h"

#include <algorithm>

#include "daemon/battery/procedure_names.h"

namespace leadwright {
namespace {

bool may_cycle(std::string_view procedure, const PolicyProcedures& named) {
  return procedure == procedure_name::conditioning || procedure == named.conditioning;
}

bool leaves_full(std::string_view procedure, const PolicyProcedures& named) {
  return fills(procedure) || procedure == named.charge || procedure == named.conditioning;
}

/// Draws too little to matter, or puts charge in.
bool keeps_full(std::string_view procedure, const PolicyProcedures& named) {
  return only_looks(procedure) || is_resistance(procedure) || procedure == procedure_name::intake ||
         procedure == procedure_name::three_minute_charge ||
         (leaves_full(procedure, named) && !may_cycle(procedure, named));
}

constexpr Second hardly_most = minutes(2.0);

}  // namespace

bool hardly_drew(const Run& run) {
  return is_capacity(run.procedure) && run.outcome == RunOutcome::stopped && run.ended_at &&
         *run.ended_at - run.started_at < hardly_most;
}

bool is_completed_charge(const Run& run) {
  return fills(run.procedure) && run.outcome == RunOutcome::complete;
}

bool is_full(std::span<const Run> runs, const PolicyProcedures& named) {
  bool full = false;
  for (const Run& run : runs) {
    if (run.outcome == RunOutcome::complete && leaves_full(run.procedure, named)) {
      full = true;
    } else if (!keeps_full(run.procedure, named) && !hardly_drew(run)) {
      full = false;
    }
  }
  return full;
}

bool began_full(const Evidence& evidence, const Finding& test, const PolicyProcedures& named) {
  const auto own = std::ranges::find_if(evidence.runs, [&](const Run& run) { return run.id >= test.run; });
  return is_full({evidence.runs.begin(), own}, named);
}

}  // namespace leadwright
