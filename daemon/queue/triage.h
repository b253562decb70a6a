// SPDX-License-Identifier: Apache-2.0
// Which test comes next, and where, by what the way to the letter is expected to cost: hours of a bay, hours
// of a charging place, minutes of a person's hands, each with its price. Every way ends with a letter, so the
// greatest chance of a decision for its cost is the cheapest way. Weighed only where validity and safety
// leave a choice, which the planner knows; without figures in the policy nothing is weighed, and the chain
// goes on as it is. Pure; any thread. Read next: planner.h, daemon/grading/triage_rule.h.
#pragma once

#include <optional>

#include "daemon/battery/said.h"
#include "daemon/grading/triage_rule.h"

namespace leadwright {

/// What is known of a battery when a choice is made.
struct TriageKnown {
  double soc = 0.5;             ///< of charge, 0 to 1; a guess where nobody measured it
  bool came_charged = false;    ///< enough for a load test, by the voltage of the intake check
  std::optional<Volt> product;  ///< resistance times rated cranking current
  std::optional<int> age_months = {};
  Second rated{0.0};  ///< the minutes of its label, or what stands for them
  bool is_rested = false;
};

/// How likely each test would fail it, and both.
struct TriageChances {
  double load = 0.0;
  double minutes = 0.0;
  double both = 0.0;
  int batteries = 0;  ///< behind these
};
/// Of the rows that fit what is known; missing where there are none.
std::optional<TriageChances> chances_of(const TriageRule& rule, const TriageKnown& known);

/// A way to the letter, as expected: with what must be done before its tests, and the recharge after them.
struct Way {
  enum class Begins { load, minutes, load_as_it_came, charge, rest_here, rest_away } begins;
  double decides = 0.0;  ///< chance that its first test gives the letter
  Second bay{0.0};
  Second charging{0.0};
  Second hands{0.0};
  Second price{0.0};  ///< of all three, in a person's time
};

struct Choice {
  Way chosen;
  Way other;
};

/// Full, rested and at a bay: a load test or the minutes first?
std::optional<Choice> choose_first_test(const TriageRule& rule, const TriageKnown& known);
/// As it came, charged enough for a load test: that at once, or a full charge first?
std::optional<Choice> choose_start(const TriageRule& rule, const TriageKnown& known);
/// At a bay, to be rested there and then tested there: does it stay meanwhile?
Choice choose_where_to_rest(const TriageRule& rule);

/// What is still to be done before the letter.
struct TestsAhead {
  bool intake = false;
  bool charge = false;  ///< with the rest after it
  bool rest = false;
  bool load = false;
  bool minutes = false;
};
/// From here to the letter and its recharge, on the cheaper way; where nothing is known of what tests decide,
/// as if none decided before the last.
Way way_ahead(const TriageRule& rule, const TriageKnown& known, const TestsAhead& tests);

/// What is chosen and why, and the figures of the other way.
Sentence said_of(const Choice& choice);

}  // namespace leadwright
