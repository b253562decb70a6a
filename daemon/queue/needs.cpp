// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/needs.h"

#include <fmt/format.h>

#include <algorithm>

#include "daemon/queue/bench.h"
#include "daemon/queue/consent.h"

namespace leadwright {

const char* word(NeedsOf of) {
  switch (of) {
    case NeedsOf::move:
      return "move";
    case NeedsOf::move_after_gas:
      return "move_after_gas";
    case NeedsOf::stand:
      return "stand";
    case NeedsOf::answer:
      return "answer";
    case NeedsOf::start:
      return "start";
    case NeedsOf::start_with_consent:
      return "start_with_consent";
  }
  return "start";
}

PlaceKind kind_to_do(const Work& next, const std::vector<std::unique_ptr<Place>>& places) {
  const auto is_one = [&next](const auto& place) { return place->kind() == next.place_kind; };
  return std::ranges::any_of(places, is_one) ? next.place_kind : PlaceKind::bay;
}

std::optional<Needs> Bench::needs_of(const TicketFile& file, const Work& next) {
  const Place* at = place(file.ticket.place);
  const Activity activity = at != nullptr ? at->activity() : Activity::idle;
  if (activity == Activity::running) return std::nullopt;
  if (activity == Activity::asking || activity == Activity::tripped)
    return Needs{NeedsOf::answer, fmt::format("{} needs an answer", at->name())};
  if (next.not_before && clocks_.bench.utc() < *next.not_before) {
    return Needs{NeedsOf::stand, fmt::format("leave it on a shelf until {}, then a charging place for the {}",
                                             next.not_before->rfc3339(), next.procedure)};
  }
  const PlaceKind kind = kind_to_do(next, places_);
  if (at == nullptr || at->kind() != kind) {
    const bool waits =
        at != nullptr && at->kind() != PlaceKind::shelf && gas_off(file).left(clocks_.bench) > Second(0.0);
    return Needs{waits ? NeedsOf::move_after_gas : NeedsOf::move,
                 fmt::format("{}move to a {} for the {}", waits ? "when the gas has gone, " : "",
                             kind == PlaceKind::bay ? "bay" : "charging place", next.procedure)};
  }
  const Procedure* due = procedure(next.procedure);
  const std::string consent = due != nullptr ? consent_needed(file, *due, settings_.policy) : "";
  return Needs{consent.empty() ? NeedsOf::start : NeedsOf::start_with_consent,
               fmt::format("start the {} at {}{}", next.procedure, at->name(),
                           consent.empty() ? "" : fmt::format(" with the owner's consent ({})", consent))};
}

}  // namespace leadwright
