// SPDX-License-Identifier: Apache-2.0
// Whether a battery keeps its charge: two looks at it while it stands on a shelf, a day apart, after the
// first day. Looked for where a wrong "keep it" would cost more than the looks, by what is expected. Pure;
// any thread. How fast it falls is calculated in daemon/battery/retention.h.
#pragma once

#include <optional>

#include "daemon/battery/retention.h"
#include "daemon/grading/conclusion.h"
#include "daemon/grading/decision.h"
#include "daemon/grading/evidence.h"
#include "daemon/grading/policy.h"

namespace leadwright {

/// How likely it discharges itself, before anybody has watched it: the policy's share, by what the first look
/// at it found. Missing where the policy does not ask.
std::optional<double> chance_of_self_discharge(const Evidence& evidence, const Policy& policy);

/// That chance times what a wrong "keep it" costs is more than what the looks cost.
bool is_worth_watching(const Evidence& evidence, const Policy& policy);

/// Between the first look that counts and the last, since anything was put in or drawn; or what a charge
/// retention stated since. Missing if there is none.
std::optional<FallAtRest> fall_seen(const Evidence& evidence, const RetentionRule& rule);

/// A, B, C.
bool keeps_in_service(char letter);

/// When the next look would tell something; missing where none is wanted: it fell clearly slower or faster
/// than the policy allows, or it has stood as long as the policy has patience. Nothing was drawn and not put
/// back yet is for the caller to know.
std::optional<Utc> next_look_at(const Evidence& evidence, const Policy& policy);

/// Of a letter that keeps the battery in service: D where it surely falls too fast, U where that is not
/// decided or was worth watching and nobody did. Any other letter stays as it is.
void apply_retention(Conclusion& conclusion, const Evidence& evidence, const Policy& policy);

}  // namespace leadwright
