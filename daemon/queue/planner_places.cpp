// SPDX-License-Identifier: Apache-2.0
// What a planned piece of work means for its ticket's state and its place, and what its battery should read.
#include "daemon/queue/planner.h"
#include "daemon/queue/planner_choices.h"

namespace leadwright {

bool takes_all(std::string_view procedure) {
  return is_capacity(procedure) || procedure == procedure_name::conditioning;
}

TicketState state_during(std::string_view procedure) {
  if (procedure == procedure_name::charge || procedure == procedure_name::recovery) {
    return TicketState::charging;
  }
  if (procedure == procedure_name::recharge) return TicketState::recharging;
  if (only_looks(procedure)) return TicketState::resting;
  return TicketState::testing;
}

bool place_serves(PlaceKind kind, PlaceKind wanted) {
  return kind == wanted || (kind == PlaceKind::bay && wanted == PlaceKind::charging);
}

std::optional<ExpectedVolts> expected_volts(const TicketFile& file) {
  if (!file.last_volts) return std::nullopt;
  ExpectedVolts expected{*file.last_volts};
  // Surface charge decays after a charge, a battery recovers after a draw: wide on that side only
  // (common practice, no source).
  const Run* last = file.newest_run();
  if (last == nullptr) return expected;
  if (puts_charge_in(last->procedure)) {
    expected.below_max = Volt(1.2);
  } else if (only_looks(last->procedure)) {
    expected.below_max = Volt(0.3);
  } else {
    expected.above_max = is_capacity(last->procedure) ? Volt(1.5) : Volt(0.4);
  }
  return expected;
}

}  // namespace leadwright
