// SPDX-License-Identifier: Apache-2.0
// Which waiting battery should go to a free place next: one that would miss its promised time if another went
// first, else that whose letter costs least, else the one that came first. A person may carry any other
// there. Pure; any thread. Read next: triage.h.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "daemon/battery/said.h"
#include "daemon/battery/ticket.h"
#include "daemon/quantities/quantity.h"
#include "daemon/queue/triage.h"
#include "daemon/settings/settings.h"

namespace leadwright {

/// A ticket whose next work is to be done at a place where it does not stand yet.
struct WaitingTicket {
  std::string ticket;  ///< as shown
  PlaceKind wants = PlaceKind::bay;
  std::string procedure;
  Utc received_at;
  std::optional<Utc> promised_at;
  /// To its letter; missing where the policy has no prices, or its letter is known and it is only charged.
  std::optional<Way> ahead;
};

struct FreePlace {
  std::string name;
  PlaceKind kind = PlaceKind::bay;
};

/// What a look at the whole bench finds.
struct FreeAndWaiting {
  std::vector<FreePlace> free;
  std::vector<WaitingTicket> waiting;
};

struct Suggestion {
  std::string place;
  std::string ticket;
  std::string procedure;
  Sentence why;
};

/// No ticket twice, in the order of the places.
std::vector<Suggestion> suggestions_for(FreeAndWaiting found, Utc now);

/// `[{"place":..,"ticket":..,"procedure":..,"why":..,"said":[..]}]`
std::string suggestions_json(const std::vector<Suggestion>& suggestions);

}  // namespace leadwright
