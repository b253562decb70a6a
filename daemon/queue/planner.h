// SPDX-License-Identifier: Apache-2.0
// What a ticket needs next: the chain intake → charge → rest → tests → grade → recharge as a pure function of
// its file. Most returned batteries are only discharged, so nothing is tested before it is charged and
// rested.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "daemon/grading/policy.h"
#include "daemon/place/run.h"
#include "daemon/queue/ledger.h"
#include "daemon/settings/settings.h"

namespace leadwright {

/// Names of the shipped procedures that the chain is made of, then of those that a person may choose and
/// after which the battery is not as it was.
namespace procedure_name {
inline constexpr std::string_view intake = "intake check";
inline constexpr std::string_view resistance = "internal resistance";
inline constexpr std::string_view charge = "standard charge";
inline constexpr std::string_view rest = "stability rest";
inline constexpr std::string_view half_cca_load = "half-CCA load test";
inline constexpr std::string_view reserve_capacity = "reserve capacity";
inline constexpr std::string_view until_decided = "reserve capacity until decided";
inline constexpr std::string_view recharge = "recharge before leaving";
inline constexpr std::string_view recovery = "recovery of a deep-discharged battery";
inline constexpr std::string_view conditioning = "conditioning cycle";
inline constexpr std::string_view three_minute_charge = "three-minute charge";
inline constexpr std::string_view capacity_20h = "20-hour capacity";
inline constexpr std::string_view pulses = "resistance by pulses";
inline constexpr std::string_view cranking_estimate = "cranking estimate";
inline constexpr std::string_view retention = "charge retention";
inline constexpr std::string_view new_battery = "new-battery confirmation";
}  // namespace procedure_name

struct Work {
  std::string procedure;
  PlaceKind place_kind = PlaceKind::bay;
};

/// Attempts at one procedure that may fail before a person must look.
inline constexpr int attempts_max = 3;

/// The next procedure, or nothing: the ticket is done, or a person must decide.
std::optional<Work> next_work(const TicketFile& file, const Policy& policy);
/// True when the evidence is as complete as the chain makes it: time to grade.
bool ready_to_grade(const TicketFile& file, const Policy& policy);
/// Why no further attempt is made, one sentence; empty if attempts are left.
std::string attempts_exhausted(const TicketFile& file, std::string_view procedure);
/// Why a procedure named by a person must wait, one sentence; empty if it need not. A capacity test of a
/// battery that is not charged and rested would be graded as if it were worn; nothing that charges before the
/// intake check.
std::string out_of_turn(const TicketFile& file, const Policy& policy, std::string_view procedure);
/// A procedure that ends with an empty battery, or has emptied it on its way.
bool takes_all(std::string_view procedure);
/// The state that a ticket is in while a procedure runs.
TicketState state_during(std::string_view procedure);
/// True if a place of this kind can do work meant for `wanted`.
bool place_serves(PlaceKind kind, PlaceKind wanted);
/// Resting volts to expect at the next clamp-on; nothing if no meter saw the battery at rest before.
std::optional<ExpectedVolts> expected_volts(const TicketFile& file);
/// A stability rest ended and nothing was energised since.
bool is_rested(const TicketFile& file);

}  // namespace leadwright
