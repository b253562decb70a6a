// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/by_load.h"

#include <cmath>
#include <vector>

#include "daemon/battery/half_cca.h"
#include "daemon/grading/rules.h"

namespace leadwright {
namespace {

Sentence load_rule_name(const Finding& margin) {
  if (is_load_by_capacity(margin))
    return say("load_rule_by_ah", "load test at 3 A for each Ah, above the least voltage");
  return say("load_rule", "load test at half the CCA, above the least voltage");
}

Sentence usual_rule_name() {
  return say(
      "load_rule_usual",
      "the same load test reckoned for half the cranking current usual for its Ah, above the least voltage");
}

/// "at 15 s under half its cranking current"
Sentence under_load(const Finding& margin) {
  Sentence text = is_load_by_capacity(margin)
                      ? say("under_ah_load", " at 15 s under 3 A for each Ah")
                      : say("under_half_cca", " at 15 s under half its cranking current");
  if (followed_reseating(margin)) text.say("clamps_anew", ", with both clamps set anew");
  return text;
}

Sentence margin_said(const Finding& margin) {
  const std::vector<PhraseValue> volts{said_amount("volts", std::abs(margin.value), 2, "V")};
  return margin.value < 0.0 ? say("below_least", "{volts} below the least voltage", volts)
                            : say("above_least", "{volts} above the least voltage", volts);
}

Sentence second_load_test() {
  return say("next_load_again", "A second load test after a full charge and a rest costs some minutes.");
}

/// What a passed load test leaves open where the label states no cranking current.
Sentence needs_cranking_current() {
  return say(
      "usual_may_fail",
      ", but perhaps too little at half the cranking current usual for its Ah, which its label does not "
      "state");
}

Sentence next_of(const LoadRuling& load) {
  if (!load.needs_cca) return second_load_test();
  return say(
      "next_cca",
      "Its cranking current, by its maker's list or another label of its kind, and a load test at half "
      "of it decide.");
}

void drop_below_b(Conclusion& conclusion, const Policy& policy) {
  if (conclusion.letter != 'A' && conclusion.letter != 'B') return;
  conclusion.rules.push_back(
      plain_rule("no A or B without a high-rate draw",
                 say("rule_no_draw", "no high-rate draw was made: this policy gives no A or B without one"),
                 "C at most"));
  conclusion.letter = 'C';
  conclusion.next_procedure = policy.procedures.high_rate;
  conclusion.next_why =
      say("next_draw_decides", "Its minutes are good enough for more; a draw at cranking current decides.");
}

/// A guard band is no pass: what lies within it has shown neither that it cranks nor that it does not.
void leave_undecided(Conclusion& conclusion, const LoadRuling& load, const Policy& policy) {
  if (conclusion.letter == 'D') return;
  conclusion.rules.push_back(plain_rule(
      "no letter on an undecided load test",
      load.needs_cca
          ? say("rule_no_cca", "a load smaller than half its cranking current may be has shown too little")
          : say("rule_load_undecided", "the load test lies nearer to its limit than its guard band"),
      "undecided"));
  conclusion.letter = 'U';
  if (load.needs_cca) {
    conclusion.situation = "unidentified";
  } else {
    conclusion.next_procedure = policy.procedures.high_rate;
  }
  conclusion.next_why = next_of(load);
}

}  // namespace

std::optional<LoadRuling> load_ruling(const Evidence& evidence, const Policy& policy) {
  const Finding* margin = newest(evidence, Measurand::load_margin);
  if (margin == nullptr || is_load_estimate(*margin)) return std::nullopt;
  const Measured measured{margin->value, margin->u};
  const Decision decision = decide(measured, 0.0, policy.guard_factor);
  const bool is_cycled = margin->run < last_completed(evidence, policy.procedures.conditioning);
  if (is_cycled && decision.outcome == Conformance::does_not_conform) return std::nullopt;
  LoadRuling ruling{margin, decision.outcome,
                    limit_rule(load_rule_name(*margin), {"V", 2}, measured, 0.0, decision)};
  const Finding* usual = of_same_run(evidence, Measurand::load_margin_usual, *margin);
  if (decision.outcome != Conformance::conforms || usual == nullptr) return ruling;
  const Measured reckoned{usual->value, usual->u};
  const Decision at_usual = decide(reckoned, 0.0, policy.guard_factor);
  if (at_usual.outcome == Conformance::conforms) return ruling;
  // What is only usual fails nobody.
  ruling.needs_cca = true;
  ruling.outcome = Conformance::undecided;
  ruling.rule = limit_rule(usual_rule_name(), {"V", 2}, reckoned, 0.0, at_usual);
  return ruling;
}

bool fails(const std::optional<LoadRuling>& load) {
  return load && load->outcome == Conformance::does_not_conform;
}

Conclusion by_load_alone(const LoadRuling& load, const Sentence& without, const Policy& policy) {
  Conclusion conclusion;
  conclusion.rules.push_back(load.rule);
  const Sentence seen = margin_said(*load.margin);
  if (load.outcome == Conformance::conforms) {
    conclusion.letter = 'B';
    conclusion.reason.say("holds", "Holds ")
        .add(seen)
        .add(under_load(*load.margin))
        .say("sound_cranking", ": sound at cranking load; ");
  } else if (load.outcome == Conformance::does_not_conform) {
    conclusion.letter = 'D';
    conclusion.reason.say("falls_to", "Falls to ")
        .add(seen)
        .add(under_load(*load.margin))
        .say("worn_by_load", ": worn; ");
  } else if (load.needs_cca) {
    conclusion.reason.say("holds", "Holds ")
        .add(seen)
        .add(under_load(*load.margin))
        .add(needs_cranking_current())
        .say("and_then", "; ");
    conclusion.situation = "unidentified";
    conclusion.next_why = next_of(load);
  } else {
    conclusion.reason.say("lies", "Lies ")
        .add(seen)
        .add(under_load(*load.margin))
        .say("lies_too_near", ", too near to it to decide; ");
    conclusion.next_procedure = policy.procedures.high_rate;
    conclusion.next_why = next_of(load);
  }
  conclusion.reason.add(without).say("full_stop", ".");
  return conclusion;
}

void apply_load(Conclusion& conclusion, const std::optional<LoadRuling>& load, const Policy& policy) {
  if (conclusion.letter == 'U' && !fails(load)) return;
  if (!load) {
    if (policy.high_rate_draw_required) drop_below_b(conclusion, policy);
    if (conclusion.letter != 'D') conclusion.reason.say("not_cranked", "; not tested at cranking load");
    if (!conclusion.next_procedure.empty()) conclusion.reason.say("c_at_most", ", so C at most");
    return;
  }
  conclusion.rules.push_back(load->rule);
  const Sentence seen = margin_said(*load->margin);
  if (fails(load)) {
    conclusion.letter = 'D';
    conclusion.next_procedure.clear();
    conclusion.next_why = {};
    conclusion.reason.say("but_falls_to", "; but falls to ")
        .add(seen)
        .say("when_cranking", " at cranking load");
    if (followed_reseating(*load->margin))
      conclusion.reason.say("clamps_anew", ", with both clamps set anew");
    conclusion.reason.say("worn_at_last", ": worn");
    return;
  }
  conclusion.reason.say("at_cranking_load", "; at cranking load ").add(seen);
  if (load->outcome == Conformance::undecided) {
    conclusion.reason.add(load->needs_cca ? needs_cranking_current()
                                          : say("too_near", ", too near to decide"));
    if (policy.high_rate_draw_required) leave_undecided(conclusion, *load, policy);
  }
}

void ask_for_minutes(Conclusion& conclusion, const Policy& policy) {
  conclusion.letter = 'U';
  conclusion.rules.push_back(plain_rule(
      "no letter on a load test alone",
      say("rule_load_alone",
          "a load test that passes shows that it cranks and says nothing of its minutes: this policy "
          "asks for both"),
      "undecided"));
  conclusion.situation = "no_consent";
  conclusion.next_procedure = policy.procedures.capacity;
  conclusion.next_why =
      say("next_with_consent",
          "It measures what the label promises; the owner must agree to a complete discharge.");
}

}  // namespace leadwright
