// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/by_share.h"

#include <array>
#include <cmath>
#include <utility>

#include "daemon/battery/uncertainty.h"
#include "daemon/grading/early.h"

namespace leadwright {
namespace {

std::string value_text(const Comparison& found) {
  return amount_text(found).append(" against ").append(found.rated_text);
}

/// What would settle C's limit at the least cost of bay time.
void name_next(Conclusion& conclusion, const Comparison& found, const Policy& policy) {
  if (found.at_least) {
    conclusion.next_procedure = policy.procedures.capacity;
    conclusion.next_why = "The whole discharge decides.";
    return;
  }
  const double u_criterion = policy.share_c * found.u_rated;
  if (u_criterion > found.test.u) {
    conclusion.next_procedure = policy.procedures.capacity_20h;
    conclusion.next_why =
        "Most of the doubt is in the derived rating, which a test at the rating's own current does not need.";
    return;
  }
  conclusion.next_procedure =
      found.unit.unit == "Ah" ? policy.procedures.capacity_20h : policy.procedures.capacity;
  conclusion.next_why = "One more test after a full charge brings the standard uncertainty from ";
  conclusion.next_why.append(fixed(std::hypot(found.test.u, u_criterion), 2))
      .append(" to ")
      .append(fixed(std::hypot(found.test.u_repeated, u_criterion), 2))
      .append(" ")
      .append(found.unit.unit)
      .append(".");
}

}  // namespace

ShareRuling share_ruling(const Comparison& found, std::string name, double share, double guard_factor) {
  // The rating's own uncertainty counts with the value's: both stand on one side of the difference.
  const Measured measured{found.test.value, std::hypot(found.test.u, share * found.u_rated)};
  const double limit = share * found.rated;
  const Decision decision =
      found.at_least ? decide_at_least(measured, limit, guard_factor) : decide(measured, limit, guard_factor);
  return {decision.outcome, limit_rule(std::move(name), found.unit, measured, limit, decision)};
}

std::string amount_text(const Comparison& found) {
  if (found.at_least) {
    std::string text("at least ");
    return text.append(fixed(std::floor(found.test.value), 0))
        .append(" ")
        .append(found.unit.unit)
        .append(" ")
        .append(found.of)
        .append(", where it was stopped,");
  }
  std::string text = fixed(found.test.value, found.unit.decimals);
  text.append(" ").append(found.unit.unit).append(" ").append(found.of).append(" (+- ");
  text.append(fixed(coverage_factor * found.test.u, found.unit.decimals)).append(" ").append(found.unit.unit);
  text.append(", k = 2");
  if (found.test.count > 1)
    text.append(", mean of ").append(std::to_string(found.test.count)).append(" tests");
  return text.append(")");
}

Conclusion by_share(const Comparison& found, const Policy& policy) {
  constexpr std::array<const char*, 3> opinion{"it meets its rating", "sound", "serviceable"};
  const std::array<std::pair<char, double>, 3> shares{
      {{'A', policy.share_a}, {'B', policy.share_b}, {'C', policy.share_c}}};
  Conclusion conclusion;
  const std::string value = value_text(found);
  Conformance last = Conformance::undecided;
  for (std::size_t i = 0; i < shares.size(); ++i) {
    const auto [letter, share] = shares[i];
    ShareRuling ruling =
        share_ruling(found, std::string("limit of ").append(1, letter), share, policy.guard_factor);
    conclusion.rules.push_back(std::move(ruling.rule));
    last = ruling.outcome;
    if (ruling.outcome != Conformance::conforms) continue;
    conclusion.letter = letter;
    conclusion.reason = std::string("Gives ").append(value).append(": ").append(opinion[i]);
    return conclusion;
  }
  if (last == Conformance::does_not_conform) {
    conclusion.letter = 'D';
    conclusion.reason = std::string("Gives only ").append(value).append(": worn");
  } else if (found.at_least) {
    conclusion.reason = std::string("Gives ").append(value).append(": stopped too early to decide");
    name_next(conclusion, found, policy);
  } else {
    conclusion.reason = std::string("Gives ").append(value).append(
        ", too near to the limit of what is serviceable to decide with this uncertainty");
    name_next(conclusion, found, policy);
  }
  return conclusion;
}

}  // namespace leadwright
