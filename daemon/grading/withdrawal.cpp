// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/withdrawal.h"

#include <algorithm>
#include <utility>

#include "daemon/battery/uncertainty.h"
#include "daemon/grading/full_charge.h"
#include "daemon/grading/rules.h"
#include "daemon/grading/warranty.h"

namespace leadwright {
namespace {

struct Withdrawal {
  std::string situation;
  std::string reason;
  std::string rule;  ///< its sentence
  std::string next_procedure;
  std::string next_why;
};

void withdraw(Conclusion& conclusion, Withdrawal why) {
  conclusion.letter = 'U';
  conclusion.rules.push_back(plain_rule(why.situation, std::move(why.rule), "withdrawn"));
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
  const std::string at = fixed(battery.degc(), 1) + " degC";
  const std::string least = fixed(limit.degc(), 0) + " degC";
  withdraw(conclusion,
           {warm ? "too_warm" : "too_cold",
            std::string("Not graded: it was at ")
                .append(at)
                .append(warm ? " during the test, warmer than the " : " during the test, colder than the ")
                .append(least)
                .append(" up to which a correction can be defended; bring it to room temperature and "
                        "test it again."),
            std::string("temperature of the test ")
                .append(at)
                .append(warm ? ", at most " : ", at least ")
                .append(least),
            policy.procedures.capacity, "The same test at room temperature decides."});
  return true;
}

bool withdraw_by_charge(Conclusion& conclusion, const Evidence& evidence, const Policy& policy,
                        const Finding& test) {
  if (conclusion.letter == 'A') return false;
  const Finding* before = charge_before(evidence, test);
  const bool low = before != nullptr && before->value < policy.soc_min_to_test;
  const bool is_of_load = test.measurand == Measurand::load_margin;
  if (!low && (is_of_load || began_full(evidence, test, policy.procedures))) return false;
  Withdrawal why{
      "discharged", {}, {}, policy.procedures.charge, "A full charge, then the same test, decides."};
  if (low) {
    why.reason = std::string("Not graded: it was only ")
                     .append(fixed(100.0 * before->value, 0))
                     .append(" % charged when it was tested; charge it, rest it and test it again.");
    why.rule = std::string("state of charge before the test ")
                   .append(fixed(before->value, 2))
                   .append(", least to test with ")
                   .append(fixed(policy.soc_min_to_test, 2));
  } else {
    why.reason =
        "Not graded: nothing shows that it was full when its capacity was tested; charge it, rest it and "
        "test it again.";
    why.rule = "a completed charge before the capacity test, and nothing drawn in between: not shown";
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
  const std::string came = fixed(flat->value, 2) + " V";
  withdraw(conclusion,
           {"deep_discharged",
            std::string("Not failed yet: it came in at ")
                .append(came)
                .append(", so deeply discharged that one conditioning cycle comes before a verdict."),
            std::string("lowest voltage at rest ")
                .append(came)
                .append(", deep discharge below ")
                .append(fixed(limit.si(), 2))
                .append(" V, and no conditioning cycle before the test"),
            policy.procedures.conditioning, "One cycle, then the same test, decides."});
  return true;
}

void withdraw_by_youth(Conclusion& conclusion, const Evidence& evidence, const Policy& policy,
                       const Finding& test) {
  const auto age = age_days(evidence);
  if (policy.youngest_days == 0 || !age || *age >= policy.youngest_days) return;
  if (has_completed(evidence, policy.procedures.conditioning, test)) return;
  const std::string days = std::to_string(std::max(0, *age));
  const std::string least = std::to_string(policy.youngest_days);
  withdraw(conclusion,
           {"too_young",
            std::string("Not failed: it was made ")
                .append(days)
                .append(" days ago, and its plates are formed to the end only after ")
                .append(least)
                .append(" days and some cycles."),
            std::string("age ").append(days).append(" days, least to fail ").append(least).append(" days"),
            policy.procedures.conditioning, "A conditioning cycle, then the same test, decides."});
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
