// SPDX-License-Identifier: Apache-2.0
// The question whether a new battery may be fitted, and its answer, as JSON. Strict, as the drop-off. Pure;
// any thread.
//
// {"battery":{the keys of a label, no serial} or "ticket":"T-..",
//  "plus_at":"left" or "right","post":"taper_large", "taper_small", "side" or "stud",
//  "vehicle":{"chemistry","cells","cca_a","cca_standard","reserve_capacity_min","reserve_capacity_standard",
//    "c20_ah","size_code","plus_at","post"},
//  "reading":{"ocv_v","battery_degc","stood_h"},"charger_a",
//  "after":{"monitor_age_days","monitor_soc_1","running_v","drain_a"}}
// Needed: battery or ticket. null counts as absent.
#pragma once

#include <string>
#include <string_view>

#include "daemon/battery/fitting.h"
#include "protocol/result.h"

namespace leadwright {

struct FittingRequest {
  FittingQuestion question;
  std::string ticket;  ///< as shown; its label and what was measured are for the caller to fill in
  AfterFitting after;
};

/// bad_input with every mistake in `what`: "key: what: mend", joined by "; ". A date code is read as at the
/// drop-off, `today` being the day of the question.
Result<FittingRequest> parse_fitting(std::string_view json, Utc today);

/// {"fit":[{"of","outcome"}],"age":{"made","months","oldest_months","is_old"},
///  "charge":{"soc_1","u_1","soc_min_1","needed_ah","needed_u_ah","minutes"},"verdict",
///  "after":{"monitor","soc_apart_1","running","drain","half_empty_days"}}; what is not known is null.
std::string fitting_json(const FittingAnswer& answer, const AfterAnswer& after, const FittingRules& rules);

/// {"of":"size_code","outcome":"fits"}
std::string fit_row_json(const FitRow& row);

}  // namespace leadwright
