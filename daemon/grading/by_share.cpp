// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/by_share.h"

#include <array>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "daemon/battery/uncertainty.h"
#include "daemon/grading/early.h"

namespace leadwright {
namespace {

bool is_in_ah(const Comparison& found) {
  return found.unit.unit == "Ah";
}

Sentence against_rating(const Comparison& found) {
  return amount_said(found).say("against", " against ").add(found.rated_said);
}

Sentence limit_name(char letter) {
  return say("limit_of", "limit of {letter}", {said_words("letter", std::string(1, letter))});
}

Sentence opinion_of(char letter) {
  if (letter == 'A') return say("meets_rating", ": it meets its rating");
  if (letter == 'B') return say("sound", ": sound");
  return say("serviceable", ": serviceable");
}

/// What would settle C's limit at the least cost of bay time.
void name_next(Conclusion& conclusion, const Comparison& found, const Policy& policy) {
  if (found.at_least) {
    conclusion.next_procedure = policy.procedures.capacity;
    conclusion.next_why = say("next_whole_discharge", "The whole discharge decides.");
    return;
  }
  const double u_criterion = policy.share_c * found.u_rated;
  if (u_criterion > found.test.u) {
    conclusion.next_procedure = policy.procedures.capacity_20h;
    conclusion.next_why = say("next_own_current",
                              "Most of the doubt is in the derived rating, which a test at the rating's own "
                              "current does not need.");
    return;
  }
  conclusion.next_procedure = is_in_ah(found) ? policy.procedures.capacity_20h : policy.procedures.capacity;
  conclusion.next_why =
      say("next_once_more",
          "One more test after a full charge brings the standard uncertainty from {from} to {to}.",
          {said_amount("from", std::hypot(found.test.u, u_criterion), 2, {}),
           said_amount("to", std::hypot(found.test.u_repeated, u_criterion), 2, found.unit.unit)});
}

}  // namespace

ShareRuling share_ruling(const Comparison& found, const Sentence& name, double share, double guard_factor) {
  // The rating's own uncertainty counts with the value's: both stand on one side of the difference.
  const Measured measured{found.test.value, std::hypot(found.test.u, share * found.u_rated)};
  const double limit = share * found.rated;
  const Decision decision =
      found.at_least ? decide_at_least(measured, limit, guard_factor) : decide(measured, limit, guard_factor);
  return {decision.outcome, limit_rule(name, found.unit, measured, limit, decision)};
}

Sentence amount_said(const Comparison& found) {
  const std::string& unit = found.unit.unit;
  if (found.at_least) {
    const std::vector<PhraseValue> amount{said_amount("amount", std::floor(found.test.value), 0, unit)};
    return is_in_ah(found)
               ? say("at_least_ah", "at least {amount} of 20-hour capacity, where it was stopped,", amount)
               : say("at_least_min", "at least {amount} of reserve capacity, where it was stopped,", amount);
  }
  const std::vector<PhraseValue> amounts{
      said_amount("amount", found.test.value, found.unit.decimals, unit),
      said_amount("u", coverage_factor * found.test.u, found.unit.decimals, unit)};
  Sentence sentence = is_in_ah(found)
                          ? say("amount_ah", "{amount} of 20-hour capacity (+- {u}, k = 2", amounts)
                          : say("amount_min", "{amount} of reserve capacity (+- {u}, k = 2", amounts);
  if (found.test.count > 1) {
    const auto count = static_cast<long long>(found.test.count);
    sentence.say("mean_of", ", mean of {count} tests", {said_count("count", count)});
  }
  return sentence.say("bracket", ")");
}

Conclusion by_share(const Comparison& found, const Policy& policy) {
  const std::array<std::pair<char, double>, 3> shares{
      {{'A', policy.share_a}, {'B', policy.share_b}, {'C', policy.share_c}}};
  Conclusion conclusion;
  const Sentence value = against_rating(found);
  Conformance last = Conformance::undecided;
  for (const auto& [letter, share] : shares) {
    ShareRuling ruling = share_ruling(found, limit_name(letter), share, policy.guard_factor);
    conclusion.rules.push_back(std::move(ruling.rule));
    last = ruling.outcome;
    if (ruling.outcome != Conformance::conforms) continue;
    conclusion.letter = letter;
    conclusion.reason.say("gives", "Gives ").add(value).add(opinion_of(letter));
    return conclusion;
  }
  if (last == Conformance::does_not_conform) {
    conclusion.letter = 'D';
    conclusion.reason.say("gives_only", "Gives only ").add(value).say("worn", ": worn");
    return conclusion;
  }
  conclusion.reason.say("gives", "Gives ").add(value);
  if (found.at_least) {
    conclusion.reason.say("stopped_early", ": stopped too early to decide");
  } else {
    conclusion.reason.say("too_near_to_c",
                          ", too near to the limit of what is serviceable to decide with this uncertainty");
  }
  name_next(conclusion, found, policy);
  return conclusion;
}

}  // namespace leadwright
