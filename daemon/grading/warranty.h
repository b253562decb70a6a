// SPDX-License-Identifier: Apache-2.0
// Ages of a battery and what a warranty gives for them. Calendar months, from dates that are as exact as
// somebody wrote them. Pure; any thread.
#pragma once

#include <optional>

#include "daemon/battery/said.h"
#include "daemon/grading/evidence.h"
#include "daemon/grading/policy.h"

namespace leadwright {

/// Days since it was made, months since: missing without a date or a moment of judgement.
std::optional<int> age_days(const Evidence& evidence);
std::optional<int> age_months(const Evidence& evidence);

/// The date of sale lies before the first day that the date code allows.
bool is_sold_before_made(const Evidence& evidence);

/// One sentence: months in service by the sale, else by the date code; the free period; the credit that is
/// left, equal parts off for each month of `total` (common practice, no source). Says what is missing or
/// contradicts itself instead of counting from it. Only what is shown to be worn or faulty (D, F) earns
/// anything.
Sentence warranty_sentence(const Evidence& evidence, const WarrantyTerms& terms, char letter);

}  // namespace leadwright
