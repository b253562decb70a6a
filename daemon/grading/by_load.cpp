// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/by_load.h"

#include <cmath>
#include <utility>

#include "daemon/battery/half_cca.h"
#include "daemon/battery/uncertainty.h"
#include "daemon/grading/rules.h"

namespace leadwright {
namespace {

std::string rule_name(const Finding& margin) {
  std::string name("load test at ");
  return name.append(words_of_load(is_load_by_capacity(margin))).append(", above the least voltage");
}

/// "at 15 s under half its cranking current"
std::string under_load(const Finding& margin) {
  std::string text(" at 15 s under ");
  text.append(is_load_by_capacity(margin) ? words_of_load(true) : "half its cranking current");
  return followed_reseating(margin) ? text.append(", with both clamps set anew") : text;
}

std::string margin_text(const Finding& margin) {
  std::string text = fixed(std::abs(margin.value), 2);
  return text.append(margin.value < 0.0 ? " V below" : " V above").append(" the least voltage");
}

void drop_below_b(Conclusion& conclusion, const char* why, const Policy& policy) {
  if (conclusion.letter != 'A' && conclusion.letter != 'B') return;
  conclusion.rules.push_back(plain_rule("no A or B without a high-rate draw", why, "C at most"));
  conclusion.letter = 'C';
  conclusion.next_procedure = policy.procedures.high_rate;
  conclusion.next_why = "Its minutes are good enough for more; a draw at cranking current decides.";
}

/// A guard band is no pass: what lies within it has shown neither that it cranks nor that it does not.
void leave_undecided(Conclusion& conclusion, const Policy& policy) {
  if (conclusion.letter == 'D') return;
  conclusion.rules.push_back(plain_rule("no letter on an undecided load test",
                                        "the load test lies nearer to its limit than its guard band",
                                        "undecided"));
  conclusion.letter = 'U';
  conclusion.next_procedure = policy.procedures.high_rate;
  conclusion.next_why = "A second load test after a full charge and a rest costs some minutes.";
}

}  // namespace

std::optional<LoadRuling> load_ruling(const Evidence& evidence, const Policy& policy) {
  const Finding* margin = newest(evidence, Measurand::load_margin);
  if (margin == nullptr || is_load_estimate(*margin)) return std::nullopt;
  const Measured measured{margin->value, margin->u};
  const Decision decision = decide(measured, 0.0, policy.guard_factor);
  const bool is_cycled = margin->run < last_completed(evidence, policy.procedures.conditioning);
  if (is_cycled && decision.outcome == Conformance::does_not_conform) return std::nullopt;
  return LoadRuling{margin, decision.outcome,
                    limit_rule(rule_name(*margin), {"V", 2}, measured, 0.0, decision)};
}

bool fails(const std::optional<LoadRuling>& load) {
  return load && load->outcome == Conformance::does_not_conform;
}

Conclusion by_load_alone(const LoadRuling& load, const std::string& without, const Policy& policy) {
  Conclusion conclusion;
  conclusion.rules.push_back(load.rule);
  const std::string seen = margin_text(*load.margin);
  if (load.outcome == Conformance::conforms) {
    conclusion.letter = 'B';
    conclusion.reason = "Holds " + seen + under_load(*load.margin) + ": sound at cranking load; ";
  } else if (load.outcome == Conformance::does_not_conform) {
    conclusion.letter = 'D';
    conclusion.reason = "Falls to " + seen + under_load(*load.margin) + ": worn; ";
  } else {
    conclusion.reason = "Lies " + seen + under_load(*load.margin) + ", too near to it to decide; ";
    conclusion.next_procedure = policy.procedures.high_rate;
    conclusion.next_why = "A second load test after a full charge and a rest costs some minutes.";
  }
  conclusion.reason.append(without).append(".");
  return conclusion;
}

void apply_load(Conclusion& conclusion, const std::optional<LoadRuling>& load, const Policy& policy) {
  if (conclusion.letter == 'U' && !fails(load)) return;
  if (!load) {
    if (policy.high_rate_draw_required)
      drop_below_b(conclusion, "no high-rate draw was made: this policy gives no A or B without one", policy);
    if (conclusion.letter != 'D') conclusion.reason.append("; not tested at cranking load");
    if (!conclusion.next_procedure.empty()) conclusion.reason.append(", so C at most");
    return;
  }
  conclusion.rules.push_back(load->rule);
  const std::string seen = margin_text(*load->margin);
  if (fails(load)) {
    conclusion.letter = 'D';
    conclusion.next_procedure.clear();
    conclusion.next_why.clear();
    conclusion.reason.append("; but falls to ").append(seen).append(" at cranking load");
    if (followed_reseating(*load->margin)) conclusion.reason.append(", with both clamps set anew");
    conclusion.reason.append(": worn");
    return;
  }
  conclusion.reason.append("; at cranking load ").append(seen);
  if (load->outcome == Conformance::undecided) {
    conclusion.reason.append(", too near to decide");
    if (policy.high_rate_draw_required) leave_undecided(conclusion, policy);
  }
}

void ask_for_minutes(Conclusion& conclusion, const Policy& policy) {
  conclusion.letter = 'U';
  conclusion.rules.push_back(
      plain_rule("no letter on a load test alone",
                 "a load test that passes shows that it cranks and says nothing of its "
                 "minutes: this policy asks for both",
                 "undecided"));
  conclusion.situation = "no_consent";
  conclusion.next_procedure = policy.procedures.capacity;
  conclusion.next_why = "It measures what the label promises; the owner must agree to a complete discharge.";
}

}  // namespace leadwright
