// SPDX-License-Identifier: Apache-2.0
// What choosing the next test by its cost rests on: what an hour of a bay, an hour of a charging place and a
// way with a battery are worth in minutes of a person's hands, how long works take, and how often tests
// failed batteries of which as much was known. Part of a policy file, since it is the policy that says what
// fails. Values only; any thread. Read next: daemon/queue/triage.h.
#pragma once

#include <optional>
#include <vector>

#include "daemon/quantities/quantity.h"

namespace leadwright {

class TomlTable;

/// Batteries of a rehearsal that came in alike, and how many of them each test would fail.
struct TriageRow {
  bool came_charged = false;  ///< enough for a load test, by the voltage of the intake check
  Volt product_from;          ///< resistance times rated cranking current, from here to the next row
  int batteries = 0;
  int load_fails = 0;
  int minutes_fail = 0;
  int both_fail = 0;
};

struct TriageRule {
  Second bay_hour = minutes(2.0);       ///< of a person's time that an hour of a bay is worth
  Second charging_hour = minutes(0.2);  ///< the same of a charging place
  Second carry = minutes(3.5);          ///< unclamped, carried, clamped on and started elsewhere
  Second rest_as_it_came = hours(1.5);  ///< until its voltage is stable
  Second rest_charged = hours(2.9);     ///< the same after a charge
  Second load = minutes(8.0);
  Second charge_empty = hours(9.0);   ///< of an empty battery
  Second charge_top_up = hours(2.0);  ///< of one that a load test took a little from
  int old_months = 0;                 ///< from this age on it is old; 0: age says nothing
  double old_odds = 1.0;              ///< to fail a test, of an old one against the others
  std::vector<TriageRow> rows;        ///< empty: nothing is known of what tests decide
};

/// The table `triage` of a policy file; missing where the file has none. Mistakes go to the document.
std::optional<TriageRule> read_triage(const TomlTable& root);

}  // namespace leadwright
