// SPDX-License-Identifier: Apache-2.0
// One battery that comes back: what it is made of, what its label says, when it comes, and the truth about
// it, which nobody at the bench knows. Pure; any thread. Never: looks at an instrument or a grade. Read next:
// hand.h, which takes it through the bench.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "tools/returns/mix.h"

namespace leadwright {

struct ReturnCase {
  int number = 0;          ///< counts from 0
  std::uint64_t seed = 1;  ///< of its world: instruments, store, notices
  std::string kind;        ///< what is truly wrong, in the words of the mix
  CellBatteryMake make;    ///< as it comes in
  bool cracked = false;
  std::optional<double> severity;  ///< where the mix gives a span of it: 0 the mildest end, 1 the worst
  Ohm clamp;                       ///< contact resistance of each clamping until it is reseated
  Coulomb label_c20;               ///< as on the label, which may not be true
  Ampere cca;                      ///< as on the label where that states it
  Second rated;                    ///< minutes, likewise
  bool states_cca = true;
  bool states_reserve_capacity = true;
  Second arrives;            ///< since midnight
  bool owner_agrees = true;  ///< to a complete discharge
  double of_its_mean = 1.0;  ///< what it gives on the day of its visit: no battery gives the same twice

  /// `make` as it is on that day.
  CellBatteryMake today() const;
};

/// The same for the same mix, seed and number, whatever was drawn before.
ReturnCase draw_case(const ReturnsMix& mix, std::uint64_t seed, int number);

/// What the battery model itself says at 25 degC, rested after the charge that it takes (charged_for_a_day),
/// without any instrument. The grading is not asked. A limit of the minutes is a policy's: see is_good().
/// Minutes that a battery would give if it could be filled are nobody's who can't fill it; they are told
/// beside.
struct Truth {
  Second minutes;                ///< at 25 A to 1.75 V a cell
  double share = 0.0;            ///< of the minutes of its label, stated or not
  Second minutes_if_filled;      ///< with all its acid and plates charged, by whatever means
  double share_if_filled = 0.0;  ///< of its label, likewise
  Volt load_margin;  ///< at 15 s under half the CCA, above 1.6 V a cell (F: 9.6 V of six, above 21 degC)
  bool holds_charge = true;  ///< no cell empties itself
  bool is_whole = true;      ///< the case

  /// Meets this share of its rating, cranks, keeps its charge and does not leak.
  bool is_good(double share_least) const {
    return share >= share_least && load_margin >= Volt(0.0) && holds_charge && is_whole;
  }
  /// The same, were it filled by whatever means; its volts under load stay those after its charge.
  bool is_good_if_filled(double share_least) const {
    return share_if_filled >= share_least && load_margin >= Volt(0.0) && holds_charge && is_whole;
  }
  /// Nothing but its minutes can make it bad.
  bool is_by_minutes() const { return load_margin >= Volt(0.0) && holds_charge && is_whole; }
  /// Nothing but its volts under load can make it bad.
  bool is_by_load(double share_least) const { return share >= share_least && holds_charge && is_whole; }
  /// How far its minutes lie above the limit (below: negative), as a share of the limit.
  double distance(double share_least) const { return share / share_least - 1.0; }
  /// So near to a limit that no bench could be blamed: minutes within 5 %, or volts under load within 0.2 V
  /// (2 % of 9.6 V), and nothing else decides (P).
  bool is_near(double share_least) const;
};

/// As it is after 24 h at 0.2 of its capacity in an hour, 20 A at most, then 2.40 V a cell (F: a charge
/// before a rating test takes 24 h at most, 2.40 V; M: 0.2), begun with the charge that it came in with, and
/// 4 h of rest, all at 25 degC, by a charger without errors. No procedure of the bench is asked when it is
/// full.
CellBattery charged_for_a_day(const CellBatteryMake& make);

Truth truth_of(const ReturnCase& one);

}  // namespace leadwright
