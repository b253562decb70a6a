// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/grade.h"

#include <array>
#include <cmath>
#include <optional>
#include <utility>

#include "daemon/battery/reserve_capacity.h"
#include "daemon/battery/uncertainty.h"
#include "daemon/grading/decision.h"
#include "daemon/grading/early.h"

namespace leadwright {
namespace {

/// Of the reserve capacity computed from C20, relative: published pairs of ratings lie up to 17 % from the
/// formula (shared domain notes, section 2; C), taken as a rectangular distribution.
constexpr double u_criterion_from_c20 = 0.10;
/// M: "expanded uncertainty" is stated for 95 %.
constexpr double coverage = 2.0;
constexpr const char* no_high_rate = "not tested at cranking load";

struct Conclusion {
  char letter = 'U';
  std::string reason;
  std::vector<std::string> rules;
};

/// Minutes that the battery is measured against.
struct Criterion {
  double minutes = 0.0;
  double u = 0.0;
  std::string text;  ///< "the rated 110 min"
};

std::optional<Criterion> criterion_of(const Nameplate& nameplate) {
  if (nameplate.reserve_capacity) {
    const double rated = as_minutes(nameplate.reserve_capacity->value);
    return Criterion{rated, 0.0, std::string("the rated ").append(fixed(rated, 0)).append(" min")};
  }
  if (nameplate.c20) {
    const double derived = as_minutes(reserve_capacity_from_c20(nameplate.c20->value));
    if (derived <= 0.0) return {};
    return Criterion{derived, u_criterion_from_c20 * derived,
                     std::string("about ")
                         .append(fixed(derived, 0))
                         .append(" min derived from the rated ")
                         .append(fixed(as_ampere_hours(nameplate.c20->value), 0))
                         .append(" Ah")};
  }
  return {};
}

/// The newest one; of two at the same moment that of the later run.
const Finding* newest(const std::vector<Finding>& findings, Measurand measurand) {
  const Finding* best = nullptr;
  for (const Finding& finding : findings) {
    if (finding.measurand != measurand) continue;
    if (best == nullptr || finding.at > best->at || (finding.at == best->at && finding.run >= best->run)) {
      best = &finding;
    }
  }
  return best;
}

/// The state of charge that the test began with: the newest one before it, unless energy flowed in between.
const Finding* charge_before(const Evidence& evidence, const Finding& test) {
  const Finding* best = nullptr;
  for (const Finding& finding : evidence.findings) {
    if (finding.at > test.at || finding.run == test.run) continue;
    if (finding.measurand == Measurand::soc && (best == nullptr || finding.at >= best->at)) best = &finding;
  }
  if (best == nullptr) return nullptr;
  for (const Finding& finding : evidence.findings) {
    const bool moved = finding.measurand == Measurand::returned || finding.measurand == Measurand::delivered;
    if (moved && finding.at > best->at && finding.at < test.at && finding.run != test.run) return nullptr;
  }
  return best;
}

std::optional<Conclusion> by_inspection(const Inspection& inspection) {
  const std::array<std::pair<bool, const char*>, 4> unsafe{{{inspection.cracked, "its case is cracked"},
                                                            {inspection.leaking, "it leaks"},
                                                            {inspection.swollen, "its case is swollen"},
                                                            {inspection.frozen, "it is frozen"}}};
  for (const auto& [seen, what] : unsafe) {
    if (!seen) continue;
    return Conclusion{'F',
                      std::string("Not tested, because ").append(what).append("."),
                      {std::string("inspection: ").append(what).append(", so it is unsafe to energise")}};
  }
  return {};
}

const char* plain(FaultKind kind) {
  switch (kind) {
    case FaultKind::shorted_cell:
      return "a cell is shorted";
    case FaultKind::open_circuit:
      return "a connection is broken";
    case FaultKind::reversed:
      return "its poles are reversed";
    case FaultKind::wrong_cell_count:
      return "its voltage does not fit the number of cells";
    case FaultKind::not_lead:
      return "it does not behave like a lead battery";
    case FaultKind::takes_no_charge:
      return "it takes no charge";
    case FaultKind::unsafe:
      return "it is unsafe";
  }
  return "it has a fault";
}

Conclusion by_faults(const std::vector<Fault>& faults) {
  Conclusion conclusion{'F', {}, {}};
  for (const Fault& fault : faults) {
    conclusion.rules.push_back(
        std::string("fault ").append(word(fault.kind)).append(": ").append(fault.evidence));
  }
  const Fault& first = faults.front();
  conclusion.reason =
      std::string("Faulty: ").append(plain(first.kind)).append(" (").append(first.evidence).append(").");
  return conclusion;
}

std::string rule_text(char letter, const Decision& decision, const Measured& minutes, double limit) {
  return std::string("limit of ")
      .append(1, letter)
      .append(": ")
      .append(fixed(limit, 1))
      .append(" min; value ")
      .append(fixed(minutes.value, 1))
      .append(" min, u ")
      .append(fixed(minutes.u, 2))
      .append(" min, guard band ")
      .append(fixed(decision.guard_band, 2))
      .append(" min; conformance probability ")
      .append(fixed(decision.probability, 4))
      .append(": ")
      .append(word(decision.outcome));
}

std::string value_text(const Finding& test, const Criterion& criterion) {
  return std::string(fixed(test.value, 1))
      .append(" min of reserve capacity (+- ")
      .append(fixed(coverage * test.u, 1))
      .append(" min, k = 2) against ")
      .append(criterion.text);
}

/// A, B, C: the highest letter whose limit the value conforms to. D: only if it does not conform to C's
/// limit. Otherwise C's limit is undecided: U.
Conclusion by_minutes(const Finding& test, const Criterion& criterion, const Policy& policy) {
  constexpr std::array<const char*, 3> opinion{"it meets its rating", "sound", "serviceable"};
  const std::array<std::pair<char, double>, 3> shares{
      {{'A', policy.share_a}, {'B', policy.share_b}, {'C', policy.share_c}}};
  Conclusion conclusion;
  const std::string value = value_text(test, criterion);
  Conformance last = Conformance::undecided;
  for (std::size_t i = 0; i < shares.size(); ++i) {
    const auto [letter, share] = shares[i];
    // The criterion's own uncertainty counts with the value's: both stand on one side of the difference.
    const Measured measured{test.value, std::hypot(test.u, share * criterion.u)};
    const Decision decision = decide(measured, share * criterion.minutes, policy.guard_factor);
    conclusion.rules.push_back(rule_text(letter, decision, measured, share * criterion.minutes));
    last = decision.outcome;
    if (decision.outcome != Conformance::conforms) continue;
    const bool capped = policy.high_rate_draw_required && letter != 'C';
    conclusion.letter = capped ? 'C' : letter;
    if (capped)
      conclusion.rules.push_back("no high-rate draw was made: this policy gives no A or B without one");
    conclusion.reason = std::string("Gives ")
                            .append(value)
                            .append(": ")
                            .append(opinion[i])
                            .append("; ")
                            .append(no_high_rate)
                            .append(".");
    return conclusion;
  }
  if (last == Conformance::does_not_conform) {
    conclusion.letter = 'D';
    conclusion.reason = std::string("Gives only ").append(value).append(": worn.");
  } else {
    conclusion.reason = std::string("Gives ").append(value).append(
        ", too near to the limit of what is serviceable to decide with this uncertainty.");
  }
  return conclusion;
}

/// Of a discharge that was stopped: what it lasted at least may conform, what it was forecast to give may
/// fail.
std::optional<Conclusion> by_bounds(const Evidence& evidence, const Policy& policy) {
  const auto criterion = criterion_of(evidence.nameplate);
  const Finding* least = newest(evidence.findings, Measurand::reserve_capacity_ref_at_least);
  if (!criterion || least == nullptr) return {};
  Conclusion conclusion;
  const std::array<std::pair<char, double>, 3> shares{
      {{'A', policy.share_a}, {'B', policy.share_b}, {'C', policy.share_c}}};
  for (const auto& [letter, share] : shares) {
    const Measured lasted{least->value, std::hypot(least->u, share * criterion->u)};
    const Decision decision = decide_at_least(lasted, share * criterion->minutes, policy.guard_factor);
    conclusion.rules.push_back(rule_text(letter, decision, lasted, share * criterion->minutes));
    if (decision.outcome != Conformance::conforms) continue;
    conclusion.letter = policy.high_rate_draw_required ? 'C' : letter;
    conclusion.reason = std::string("Gives at least ")
                            .append(fixed(std::floor(least->value), 0))
                            .append(" min of reserve capacity, where it was stopped, against ")
                            .append(criterion->text)
                            .append("; ")
                            .append(no_high_rate)
                            .append(".");
    return conclusion;
  }
  const Finding* foretold = newest(evidence.findings, Measurand::reserve_capacity_ref_forecast);
  if (foretold == nullptr || foretold->run != least->run) return {};
  const Finding* before = charge_before(evidence, *least);
  if (before != nullptr && before->value < policy.soc_min_to_test) return {};
  const Measured forecast{foretold->value, std::hypot(foretold->u, policy.share_c * criterion->u)};
  const double limit = policy.share_c * criterion->minutes;
  const Decision decision = decide_by_forecast(forecast, limit, policy.guard_factor);
  conclusion.rules.push_back(
      std::string("by forecast, not measured: ").append(rule_text('C', decision, forecast, limit)));
  if (!policy.early_missed || decision.outcome != Conformance::does_not_conform) return {};
  conclusion.letter = 'D';
  conclusion.reason = std::string("Was stopped after ")
                          .append(fixed(std::floor(least->value), 0))
                          .append(" min because by forecast, not by measurement, it gives about ")
                          .append(fixed(foretold->value, 0))
                          .append(" min of reserve capacity against ")
                          .append(criterion->text)
                          .append(": worn.");
  return conclusion;
}

Conclusion conclude(const Evidence& evidence, const Policy& policy) {
  if (!evidence.faults.empty()) return by_faults(evidence.faults);
  if (auto unsafe = by_inspection(evidence.inspection)) return std::move(*unsafe);
  const Finding* test = newest(evidence.findings, Measurand::reserve_capacity_ref);
  if (test == nullptr) {
    if (auto stopped = by_bounds(evidence, policy)) return std::move(*stopped);
    const bool measured = newest(evidence.findings, Measurand::reserve_capacity) != nullptr;
    return {'U',
            measured ? "Not graded: the temperature of the reserve capacity test was not measured."
                     : "Not graded: its reserve capacity was not measured.",
            {}};
  }
  const auto criterion = criterion_of(evidence.nameplate);
  if (!criterion) {
    return {'U',
            std::string("Gives ")
                .append(fixed(test->value, 1))
                .append(" min of reserve capacity (+- ")
                .append(fixed(coverage * test->u, 1))
                .append(" min, k = 2), but its label states neither reserve capacity nor 20-hour capacity to "
                        "compare with."),
            {}};
  }
  Conclusion conclusion = by_minutes(*test, *criterion, policy);
  const Finding* before = charge_before(evidence, *test);
  if (before != nullptr && before->value < policy.soc_min_to_test && conclusion.letter != 'A') {
    conclusion.letter = 'U';
    conclusion.reason = std::string("Not graded: it was only ")
                            .append(fixed(100.0 * before->value, 0))
                            .append(" % charged when it was tested; charge it, rest it and test it again.");
    conclusion.rules.push_back(std::string("state of charge before the test ")
                                   .append(fixed(before->value, 2))
                                   .append(", least to test with ")
                                   .append(fixed(policy.soc_min_to_test, 2)));
  }
  return conclusion;
}

}  // namespace

Grade grade(const Evidence& evidence, const Policy& policy) {
  Conclusion conclusion = conclude(evidence, policy);
  Grade grade;
  grade.letter = conclusion.letter;
  grade.reason = std::move(conclusion.reason);
  grade.rules = std::move(conclusion.rules);
  grade.policy = policy.name;
  grade.policy.append(" ").append(std::to_string(policy.version));
  grade.policy_hash = policy.hash;
  const auto disposition = policy.dispositions.find(conclusion.letter);
  if (disposition != policy.dispositions.end()) grade.disposition = disposition->second;
  return grade;
}

}  // namespace leadwright
