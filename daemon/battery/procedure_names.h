// SPDX-License-Identifier: Apache-2.0
// Names of the shipped procedures that the bench knows, and what they do to a battery's charge. A procedure
// of a bench's own is none of these, and is taken for one that may have drawn. Pure; any thread.
#pragma once

#include <string_view>

namespace leadwright {

/// Those that the chain is made of, then those that a person may choose and after which the battery is not as
/// it was.
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
inline constexpr std::string_view standing = "voltage after standing";
inline constexpr std::string_view new_battery = "new-battery confirmation";
}  // namespace procedure_name

/// Ends with a full battery.
constexpr bool fills(std::string_view procedure) {
  return procedure == procedure_name::charge || procedure == procedure_name::recharge ||
         procedure == procedure_name::recovery || procedure == procedure_name::conditioning;
}

/// Ends with a battery at rest, and moves nothing.
constexpr bool is_rest(std::string_view procedure) {
  return procedure == procedure_name::rest || procedure == procedure_name::retention ||
         procedure == procedure_name::new_battery;
}

/// Moves nothing, so that what stands goes on standing.
constexpr bool only_looks(std::string_view procedure) {
  return is_rest(procedure) || procedure == procedure_name::standing;
}

/// States minutes at 25 A, or what was shown of them.
constexpr bool is_reserve_capacity(std::string_view procedure) {
  return procedure == procedure_name::reserve_capacity || procedure == procedure_name::until_decided;
}

/// Empties the battery, or a good part of it.
constexpr bool is_capacity(std::string_view procedure) {
  return is_reserve_capacity(procedure) || procedure == procedure_name::capacity_20h;
}

/// States a resistance, and moves too little to undo a rest or a full charge: 25 A for some seconds, under
/// 0.2 Ah. C: half a minute of a reserve capacity, of which the battery's own repeatability is 3 %.
constexpr bool is_resistance(std::string_view procedure) {
  return procedure == procedure_name::resistance || procedure == procedure_name::pulses ||
         procedure == procedure_name::cranking_estimate;
}

}  // namespace leadwright
