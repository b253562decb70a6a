// SPDX-License-Identifier: Apache-2.0
// Whether the questions of a profile only ask. Pure; any thread.
#pragma once

#include "drivers/profile.h"
#include "protocol/result.h"

namespace leadwright {

/// Fails with refused, naming the question, if one of them would do more than read: a probe promises to
/// switch nothing on, and a mistaken profile must not break that promise.
Result<void> check_questions(const Profile& profile);

}  // namespace leadwright
