// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/withdrawal.h"

#include <algorithm>
#include <utility>
#include <vector>

#include "daemon/grading/full_charge.h"
#include "daemon/grading/rules.h"
#include "daemon/grading/warranty.h"

namespace leadwright {
namespace {

struct Withdrawal {
  std::string situation;
  Sentence reason;
  Sentence rule;
  std::string next_procedure;
  Sentence next_why;
};

void withdraw(Conclusion& conclusion, Withdrawal why) {
  conclusion.letter = 'U';
  conclusion.rules.push_back(plain_rule(why.situation, why.rule, "withdrawn"));
  conclusion.reason = std::move(why.reason);
  conclusion.situation = std::move(why.situation);
  conclusion.next_procedure = std::move(why.next_procedure);
  conclusion.next_why = std::move(why.next_why);
}

bool withdraw_by_temperature(Conclusion& conclusion, const Evidence& evidence, const Policy& policy,
                             const Finding& test) {
  const Finding* degrees = of_same_run(evidence, Measurand::temperature, test);
  if (degrees == nullptr) return false;
  const Celsius battery(degrees->value);
  const bool warm = policy.warmest && battery > *policy.warmest;
  const bool cold = policy.coldest && battery < *policy.coldest;
  if (!warm && !cold) return false;
  const Celsius limit = warm ? *policy.warmest : *policy.coldest;
  const std::vector<PhraseValue> degrees_said{said_amount("at", battery.degc(), 1, "degC"),
                                              said_amount("limit", limit.degc(), 0, "degC")};
  withdraw(conclusion,
           {warm ? "too_warm" : "too_cold",
            warm ? say("was_too_warm",
                       "Not graded: it was at {at} during the test, warmer than the {limit} up to which a "
                       "correction can be defended; bring it to room temperature and test it again.",
                       degrees_said)
                 : say("was_too_cold",
                       "Not graded: it was at {at} during the test, colder than the {limit} up to which a "
                       "correction can be defended; bring it to room temperature and test it again.",
                       degrees_said),
            warm ? say("rule_too_warm", "temperature of the test {at}, at most {limit}", degrees_said)
                 : say("rule_too_cold", "temperature of the test {at}, at least {limit}", degrees_said),
            policy.procedures.capacity,
            say("next_at_room_temperature", "The same test at room temperature decides.")});
  return true;
}

bool withdraw_by_charge(Conclusion& conclusion, const Evidence& evidence, const Policy& policy,
                        const Finding& test) {
  if (conclusion.letter == 'A') return false;
  const Finding* before = charge_before(evidence, test);
  const bool low = before != nullptr && before->value < policy.soc_min_to_test;
  const bool is_of_load = test.measurand == Measurand::load_margin;
  if (!low && (is_of_load || began_full(evidence, test, policy.procedures))) return false;
  Withdrawal why{"discharged",
                 {},
                 {},
                 policy.procedures.charge,
                 say("next_full_charge", "A full charge, then the same test, decides.")};
  if (low) {
    why.reason = say(
        "was_discharged",
        "Not graded: it was only {charge} charged when it was tested; charge it, rest it and test it again.",
        {said_amount("charge", 100.0 * before->value, 0, "%")});
    why.rule = say(
        "rule_discharged", "state of charge before the test {charge}, least to test with {least}",
        {said_amount("charge", before->value, 2, {}), said_amount("least", policy.soc_min_to_test, 2, {})});
  } else {
    why.reason =
        say("was_perhaps_not_full",
            "Not graded: nothing shows that it was full when its capacity was tested; charge it, rest "
            "it and test it again.");
    why.rule = say("rule_not_full",
                   "a completed charge before the capacity test, and nothing drawn in between: not shown");
  }
  withdraw(conclusion, std::move(why));
  return true;
}

/// The lowest resting voltage before the test.
const Finding* flattest(const Evidence& evidence, const Finding& test) {
  const Finding* lowest = nullptr;
  for (const Finding& finding : evidence.findings) {
    if (finding.measurand != Measurand::ocv || finding.at > test.at) continue;
    if (lowest == nullptr || finding.value < lowest->value) lowest = &finding;
  }
  return lowest;
}

bool withdraw_by_depth(Conclusion& conclusion, const Evidence& evidence, const Policy& policy,
                       const Finding& test) {
  const int cells = evidence.nameplate.cells;
  if (!policy.deep_discharged_cell || cells <= 0) return false;
  const Finding* flat = flattest(evidence, test);
  const Volt limit = *policy.deep_discharged_cell * static_cast<double>(cells);
  if (flat == nullptr || Volt(flat->value) >= limit) return false;
  if (has_completed(evidence, policy.procedures.conditioning, test)) return false;
  const PhraseValue came = said_amount("came", flat->value, 2, "V");
  withdraw(
      conclusion,
      {"deep_discharged",
       say("was_deep_discharged",
           "Not failed yet: it came in at {came}, so deeply discharged that one conditioning cycle comes "
           "before a verdict.",
           {came}),
       say("rule_deep_discharged",
           "lowest voltage at rest {came}, deep discharge below {limit}, and no conditioning cycle before "
           "the test",
           {came, said_amount("limit", limit.si(), 2, "V")}),
       policy.procedures.conditioning, say("next_one_cycle", "One cycle, then the same test, decides.")});
  return true;
}

void withdraw_by_youth(Conclusion& conclusion, const Evidence& evidence, const Policy& policy,
                       const Finding& test) {
  const auto age = age_days(evidence);
  if (policy.youngest_days == 0 || !age || *age >= policy.youngest_days) return;
  if (has_completed(evidence, policy.procedures.conditioning, test)) return;
  const std::vector<PhraseValue> days{said_count("days", std::max(0, *age)),
                                      said_count("least", policy.youngest_days)};
  withdraw(conclusion,
           {"too_young",
            say("was_too_young",
                "Not failed: it was made {days} days ago, and its plates are formed to the end only after "
                "{least} days and some cycles.",
                days),
            say("rule_too_young", "age {days} days, least to fail {least} days", days),
            policy.procedures.conditioning,
            say("next_conditioning", "A conditioning cycle, then the same test, decides.")});
}

}  // namespace

void withdraw_unless_fair(Conclusion& conclusion, const Evidence& evidence, const Policy& policy,
                          const Finding& test) {
  if (withdraw_by_temperature(conclusion, evidence, policy, test)) return;
  if (withdraw_by_charge(conclusion, evidence, policy, test)) return;
  if (conclusion.letter != 'D') return;
  if (withdraw_by_depth(conclusion, evidence, policy, test)) return;
  withdraw_by_youth(conclusion, evidence, policy, test);
}

bool may_fail_by(const Finding& test, const Evidence& evidence, const Policy& policy) {
  Conclusion failed;
  failed.letter = 'D';
  withdraw_unless_fair(failed, evidence, policy, test);
  return failed.letter == 'D';
}

}  // namespace leadwright
