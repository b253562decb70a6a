// SPDX-License-Identifier: Apache-2.0
// What a look at a battery means when it comes over the counter: whether it is set aside, held or taken in,
// and for when it may be promised. Pure; any thread. Read next: outlook.h.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "daemon/battery/said.h"
#include "daemon/battery/ticket.h"
#include "daemon/queue/outlook.h"
#include "daemon/settings/precautions.h"

namespace leadwright {

/// A state with its reason, one sentence.
struct Reception {
  TicketState state = TicketState::received;
  Sentence reason;
};

/// Cracked, leaking, swollen or frozen: never energised.
bool looks_unsafe(const Inspection& seen);

/// Refused: not lead, or dangerous to look at. Held: too light for its size, until a person has found out
/// what it is. Else received.
Reception reception_of(const Nameplate& nameplate, const Inspection& seen, const WeightLimits& limits);

/// What is to be done before anything else, one sentence each.
std::vector<std::string> advice_on(const Inspection& seen);

/// That it is not the battery that its vehicle asks for, and in what; empty if nobody saw that.
std::string layout_warning(const Nameplate& nameplate, const Inspection& seen);

/// What stands between a battery and its turn.
struct HouseLoad {
  std::size_t waiting = 0;  ///< tickets before it that have no grade yet
  std::size_t bays = 0;
  std::size_t charging_places = 0;
};

/// How long it takes to the end of the outlook, if the battery is sound and is carried at once, and those
/// before it need as long as it does. Missing where no place can do some of the work, or there is none.
std::optional<Second> expected_stay(const std::vector<Ahead>& outlook, const HouseLoad& load);

/// That much later, at a full half hour.
Utc promise_after(Utc now, Second stay);

}  // namespace leadwright
