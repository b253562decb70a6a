// SPDX-License-Identifier: Apache-2.0
// The language beyond draws and rests: names of one's own, decisions, questions, calls, pulses.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "daemon/procedure/account.h"
#include "daemon/procedure/expression_words.h"
#include "daemon/procedure/proof.h"
#include "tests/procedure/made_steps.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

const std::string a_draw = made_draw("1 min");
const std::string a_rest = made_rest("1 min");

std::string text_of(const std::string& body) {
  return made_head + body;
}

Procedure sound_file(const std::string& body) {
  auto procedure = read_procedure(text_of(body), "p.toml");
  if (!procedure) {
    ADD_FAILURE() << procedure.error().front().line();
    return {};
  }
  return *procedure;
}

/// The first mistake.
std::string mistake(const std::string& body) {
  const auto procedure = read_procedure(text_of(body), "p.toml");
  return procedure ? std::string("none") : procedure.error().front().line();
}

std::string doubt(const std::string& body) {
  const std::vector<Error> doubts = unproved(sound_file(body));
  return doubts.empty() ? std::string("none") : doubts.front().line();
}

TEST(Language, a_parameter_has_a_default_and_limits_and_is_a_name) {
  const Procedure procedure = sound_file(R"(
[parameters.amps_wanted]
what = "Current of the draw."
default = "10 A"
min = "1 A"
max = "0.5 * cca"
[[step]]
name = "draw"
do = "draw"
what = "Draw."
amps = "amps_wanted"
cutoff = "1.72 V * cells"
at_most = "1 min"
)");
  Values values;
  values.set(Name::cca, 40.0);
  ASSERT_TRUE(bind_names(procedure, Chemistry::agm, {}, values));
  EXPECT_EQ(procedure.steps[0].amps->evaluate(values), 10.0);
  ASSERT_TRUE(bind_names(procedure, Chemistry::agm, {{"amps_wanted", 20.0}}, values));
  EXPECT_EQ(procedure.steps[0].amps->evaluate(values), 20.0);
  const auto too_much = bind_names(procedure, Chemistry::agm, {{"amps_wanted", 20.5}}, values);
  ASSERT_FALSE(too_much);
  EXPECT_THAT(too_much.error().what, HasSubstr("above its limit of 0.5 * cca"));
  const auto unknown = bind_names(procedure, Chemistry::agm, {{"amps", 20.0}}, values);
  ASSERT_FALSE(unknown);
  EXPECT_THAT(unknown.error().what, HasSubstr("no parameter \"amps\""));
}

TEST(Language, a_parameter_without_limits_or_with_another_unit_there_is_refused_at_its_place) {
  EXPECT_THAT(mistake(R"(
[parameters.wanted]
what = "x"
default = "10 A"
min = "1 A"
)" + std::string(a_rest)),
              AllOf(HasSubstr("p.toml:7:"), HasSubstr("has no max")));
  EXPECT_THAT(mistake(R"(
[parameters.wanted]
what = "x"
default = "10 A"
min = "1 V"
max = "20 A"
)" + std::string(a_rest)),
              AllOf(HasSubstr("p.toml:10:"), HasSubstr("is V, not A")));
}

TEST(Language, a_name_of_a_unit_or_of_a_value_that_every_procedure_has_is_refused) {
  for (const char* const taken : {"volts", "h", "min", "and", "cells"}) {
    EXPECT_THAT(mistake("\n[parameters." + std::string(taken) +
                        "]\nwhat = \"x\"\ndefault = \"10 A\"\nmin = \"1 A\"\nmax = \"20 A\"\n" + a_rest),
                HasSubstr("can't be a name"))
        << taken;
  }
}

TEST(Language, a_table_gives_each_chemistry_its_value) {
  const Procedure procedure = sound_file(R"(
[tables.per_cell]
what = "x"
flooded = "2.40 V"
efb = "2.41 V"
agm = "2.45 V"
gel = "2.35 V"
[[step]]
name = "charge"
do = "charge"
what = "Charge."
amps = "5 A"
volts = "per_cell * cells"
at_most = "1 h"
)");
  for (const auto& [chemistry, volts] :
       {std::pair(Chemistry::flooded, 14.4), std::pair(Chemistry::efb, 14.46),
        std::pair(Chemistry::agm, 14.7), std::pair(Chemistry::gel, 14.1), std::pair(Chemistry::lead, 14.1)}) {
    Values values;
    values.set(Name::cells, 6.0);
    ASSERT_TRUE(bind_names(procedure, chemistry, {}, values));
    EXPECT_NEAR(*procedure.steps[0].volts->evaluate(values), volts, 1e-9) << word(chemistry);
  }
  Values values;
  EXPECT_FALSE(bind_names(procedure, Chemistry::lithium, {}, values));
  EXPECT_THAT(mistake("\n[tables.t]\nwhat = \"x\"\nflooded = \"1 V\"\nefb = \"1 V\"\nagm = \"1 V\"\n" +
                      std::string(a_rest)),
              HasSubstr("the value for gel is missing"));
}

TEST(Language, what_a_step_keeps_is_a_name_afterwards_and_not_before) {
  EXPECT_EQ(mistake(std::string(a_rest) + "keep = { before = \"volts\" }\n" + R"(
[[step]]
name = "more"
do = "rest"
what = "Rest."
at_most = "1 h"
until = [{ name = "fell", when = "volts < before - 10 mV" }]
)"),
            "none");
  EXPECT_THAT(mistake(std::string(R"(
[[step]]
name = "more"
do = "rest"
what = "Rest."
at_most = "1 h"
until = [{ name = "fell", when = "volts < before - 10 mV" }]
)") + a_rest + "keep = { before = \"volts\" }\n"),
              HasSubstr("nothing is called \"before\""));
}

TEST(Language, a_kept_amount_without_a_bound_is_not_proved) {
  const std::string kept = std::string(R"([limits]
amps_max = "27 A"
)") + a_rest + "keep = { fell_by = \"volts / 1 ohm\" }\n";
  const std::string draw = R"(
[[step]]
name = "draw"
do = "draw"
what = "Draw."
amps = "AMPS"
cutoff = "1.72 V * cells"
at_most = "1 min"
)";
  const auto with = [&](const std::string& amps) {
    std::string text = draw;
    return kept + text.replace(text.find("AMPS"), 4, amps);
  };
  EXPECT_THAT(doubt(with("fell_by")), HasSubstr("can be inf A, and the limit is 27.00 A"));
  EXPECT_EQ(doubt(with("min(fell_by, 25 A)")), "none");
}

TEST(Language, going_back_needs_a_bound_and_counts_in_the_longest_time) {
  const std::string loop = std::string(a_rest) + a_draw + R"(
[[step]]
name = "again"
do = "decide"
what = "Once more if it fell."
when = "volts < 12 V"
then = "rest"
)";
  EXPECT_THAT(mistake(loop), HasSubstr("going back to \"rest\" may never end"));
  const Procedure bounded = sound_file(loop + "times_max = 3\n");
  EXPECT_EQ(most_runs(bounded), (std::vector<int>{4, 4, 4}));
  EXPECT_EQ(longest(bounded, Values())->si(), 4 * 120.0);
}

TEST(Language, only_what_lies_between_is_done_again) {
  const Procedure procedure = sound_file(std::string(a_rest) + a_draw + R"(
[[step]]
name = "again"
do = "decide"
what = "Once more."
when = "volts < 12 V"
then = "draw"
times_max = 2
[[step]]
name = "last"
do = "rest"
what = "Rest."
at_most = "10 s"
)");
  EXPECT_EQ(most_runs(procedure), (std::vector<int>{1, 3, 3, 1}));
}

TEST(Language, a_decision_names_a_step_or_the_end) {
  EXPECT_THAT(mistake(std::string(a_rest) + R"(
[[step]]
name = "which"
do = "decide"
what = "x"
when = "volts < 12 V"
then = "rist"
times_max = 1
)"),
              AllOf(HasSubstr("no step is called \"rist\""), HasSubstr("did you mean \"rest\"?")));
  const Procedure procedure = sound_file(std::string(a_rest) + R"(
[[step]]
name = "which"
do = "decide"
what = "x"
when = "volts < 12 V"
then = "end"
)" + a_draw);
  EXPECT_EQ(procedure.steps[1].branch->then, 3U);
  EXPECT_EQ(procedure.steps[1].branch->otherwise, 2U);
}

TEST(Language, a_step_that_no_way_leads_to_is_reported) {
  EXPECT_THAT(doubt(std::string(a_rest) + R"(
[[step]]
name = "which"
do = "decide"
what = "x"
when = "volts < 12 V"
then = "last"
else = "end"
)" + a_draw + R"(
[[step]]
name = "last"
do = "rest"
what = "Rest."
at_most = "10 s"
)"),
              HasSubstr("the step \"draw\" can never be reached"));
}

TEST(Language, a_charge_above_the_chemistry_and_a_draw_below_it_are_not_proved) {
  const std::string charge = R"(
[[step]]
name = "charge"
do = "charge"
what = "Charge."
amps = "5 A"
volts = "VOLTS"
at_most = "1 h"
)";
  const auto with = [&](const std::string& volts) {
    std::string text = charge;
    return text.replace(text.find("VOLTS"), 5, volts);
  };
  EXPECT_EQ(doubt(with("charge_volts")), "none");
  // Gel ends at 2.40 V a cell, a 6 V battery at half of what a 12 V battery takes.
  EXPECT_THAT(doubt(with("2.45 V * cells")), HasSubstr("gel"));
  EXPECT_THAT(doubt(with("14.4 V")), HasSubstr("3 cells"));
  EXPECT_THAT(doubt(R"(
[[step]]
name = "draw"
do = "draw"
what = "Draw."
amps = "5 A"
cutoff = "1.45 V * cells"
at_most = "1 min"
)"),
              HasSubstr("the limit is 4.50 V"));
}

TEST(Language, a_run_limit_shorter_than_its_steps_is_reported) {
  EXPECT_THAT(doubt("[limits]\ntime_max = \"1 min\"\n" + std::string(a_rest) + a_draw),
              HasSubstr("the steps can take 0.03 h, and the run's limit is 0.02 h"));
}

TEST(Language, a_draw_has_one_of_current_power_and_resistance) {
  const std::string draw = R"(
[[step]]
name = "draw"
do = "draw"
what = "Draw."
cutoff = "1.72 V * cells"
at_most = "1 min"
)";
  EXPECT_THAT(mistake(draw + "amps = \"5 A\"\nwatts = \"60 W\"\n"), HasSubstr("only one of"));
  EXPECT_THAT(mistake(draw + "watts = \"60 W\"\n"), HasSubstr("amps_max is missing"));
  EXPECT_THAT(mistake(draw + "watts = \"60 V\"\namps_max = \"9 A\"\n"), HasSubstr("is V, not W"));
  EXPECT_EQ(mistake(draw + "ohms = \"500 mohm\"\namps_max = \"30 A\"\n"), "none");
}

TEST(Language, a_pulse_train_fits_into_its_time) {
  const std::string pulse = R"(
[[step]]
name = "pulses"
do = "pulse"
what = "Pulses."
amps = "25 A"
cutoff = "1.5 V * cells"
width = "2 s"
pause = "10 s"
count = 5
)";
  EXPECT_EQ(mistake(pulse + "at_most = \"2 min\"\n"), "none");
  EXPECT_THAT(mistake(pulse + "at_most = \"50 s\"\n"), HasSubstr("the pulses take 60 s"));
}

TEST(Language, a_question_says_what_can_be_answered) {
  const std::string ask = R"(
[[step]]
name = "ask"
do = "ask"
what = "Ask."
question = "How many volts?"
at_most = "1 h"
)";
  EXPECT_THAT(mistake(ask + "answer = \"numbr\"\n"), HasSubstr("did you mean \"number\"?"));
  EXPECT_THAT(mistake(ask + "answer = \"choice\"\n"), HasSubstr("a choice has at least two"));
  EXPECT_THAT(mistake(ask + "answer = \"number\"\nunit = \"volt\"\n"), HasSubstr("\"volt\" is no unit"));
  EXPECT_THAT(mistake(ask + "answer = \"number\"\nunit = \"V\"\nmin = \"1 A\"\n"), HasSubstr("is A, not V"));
  const Procedure procedure =
      sound_file(ask + "answer = \"number\"\nunit = \"mV\"\nmin = \"1 V\"\nkeep = \"typed\"\n");
  EXPECT_EQ(procedure.steps[0].question->si, 1e-3);
  EXPECT_EQ(procedure.steps[0].question->lowest, 1.0);
}

TEST(Language, a_statement_states_one_finding_or_one_fault) {
  const std::string state = std::string(a_rest) + R"(
[[step]]
name = "state"
do = "state"
what = "State."
)";
  EXPECT_THAT(mistake(state), HasSubstr("states one finding or one fault"));
  EXPECT_THAT(mistake(state + "fault = \"tired\"\nevidence = \"x\"\n"),
              HasSubstr("no fault is called \"tired\""));
  EXPECT_EQ(
      mistake(state +
              "fault = \"not_lead\"\nevidence = \"x\"\nwhen = \"volts > 2.2 V * cells\"\nends = true\n"),
      "none");
}

class Calls : public testing::Test {
 protected:
  static Procedure named(const std::string& name, const std::string& body) {
    const std::string text = "schema = 1\nname = \"" + name + "\"\nversion = 1\nwhat = \"x\"\n" + body;
    auto procedure = read_procedure(text, name + ".toml");
    if (!procedure) {
      ADD_FAILURE() << procedure.error().front().line();
      return {};
    }
    return *procedure;
  }
  static std::string call(const std::string& name, const std::string& called, const std::string& more = {}) {
    return "[[step]]\nname = \"" + name + "\"\ndo = \"call\"\nwhat = \"x\"\nprocedure = \"" + called +
           "\"\n" + more;
  }
  const Procedure short_draw = named("short draw", R"(needs = ["load"]
[parameters.wanted]
what = "x"
default = "5 A"
min = "1 A"
max = "10 A"
[limits]
amps_max = "12 A"
[[step]]
name = "draw"
do = "draw"
what = "Draw."
amps = "wanted"
cutoff = "1.72 V * cells"
at_most = "1 min"
[[step]]
name = "again"
do = "decide"
what = "x"
when = "volts > 12 V"
then = "draw"
times_max = 1
)");
};

TEST_F(Calls, puts_the_steps_of_the_called_procedure_in_its_place_with_its_argument) {
  const Procedure caller =
      named("caller", a_rest + call("first", "short draw", "with = { wanted = \"7 A\" }\n") +
                          call("second", "short draw"));
  const auto linked = link_calls(caller, {short_draw, caller});
  ASSERT_TRUE(linked) << linked.error().line();
  ASSERT_EQ(linked->steps.size(), 5U);
  EXPECT_EQ(linked->steps[1].name, "first: draw");
  EXPECT_EQ(linked->steps[3].name, "second: draw");
  EXPECT_EQ(linked->steps[4].branch->then, 3U);
  EXPECT_TRUE(linked->needs_load);
  EXPECT_NE(linked->hash, caller.hash);
  Values values;
  values.set(Name::cells, 6.0);
  ASSERT_TRUE(bind_names(*linked, Chemistry::flooded, {}, values));
  values.enter(linked->steps[1].frame);
  EXPECT_EQ(linked->steps[1].amps->evaluate(values), 7.0);
  values.enter(linked->steps[3].frame);
  EXPECT_EQ(linked->steps[3].amps->evaluate(values), 5.0);
}

TEST_F(Calls, what_the_owner_must_agree_to_is_all_that_the_called_procedures_ask_for) {
  Procedure asking = short_draw;
  asking.consent = "short discharge";
  Procedure caller = named("caller", call("first", "short draw") + call("second", "short draw"));
  EXPECT_EQ(link_calls(caller, {asking, caller})->consent, "short discharge");
  caller.consent = "heavy draw";
  EXPECT_EQ(link_calls(caller, {asking, caller})->consent, "heavy draw, short discharge");
}

TEST_F(Calls, an_argument_outside_the_limits_of_the_parameter_is_refused) {
  const Procedure caller = named("caller", call("first", "short draw", "with = { wanted = \"11 A\" }\n"));
  const auto linked = link_calls(caller, {short_draw, caller});
  ASSERT_TRUE(linked);
  Values values;
  EXPECT_FALSE(bind_names(*linked, Chemistry::flooded, {}, values));
  const Procedure above = named("caller", call("first", "short draw", "with = { wanted = \"13 A\" }\n"));
  EXPECT_THAT(unproved(*link_calls(above, {short_draw, above})).front().what,
              HasSubstr("the limit is 12.00 A"));
}

TEST_F(Calls, wrong_calls_are_named) {
  const auto error = [this](const Procedure& caller) {
    const auto linked = link_calls(caller, {short_draw, caller});
    return linked ? std::string("none") : linked.error().line();
  };
  EXPECT_THAT(error(named("caller", call("first", "long draw"))),
              HasSubstr("no procedure is called \"long draw\""));
  EXPECT_THAT(error(named("caller", call("first", "short draw", "with = { want = \"1 A\" }\n"))),
              HasSubstr("has no parameter \"want\""));
  EXPECT_THAT(error(named("caller", call("first", "short draw", "with = { wanted = \"1 V\" }\n"))),
              HasSubstr("is V, and the parameter wanted is A"));
  EXPECT_THAT(error(named("caller", call("first", "caller"))), HasSubstr("would call itself"));
}

TEST(Account, says_what_a_step_does_in_the_files_own_amounts_or_in_those_of_a_battery) {
  const Procedure procedure = sound_file(std::string(a_rest) + a_draw);
  const StepAccount written = account_of(procedure, procedure.steps[1],
                                         [](const Expression& expression) { return in_words(expression); });
  EXPECT_EQ(written.does, "draws 5 A; the load itself cuts off at 1.72 V a cell; at most 60 s");
  Values values;
  values.set(Name::cells, 6.0);
  const StepAccount meant = account_of(procedure, procedure.steps[1], [&](const Expression& expression) {
    return in_words(expression, values);
  });
  EXPECT_EQ(meant.does, "draws 5 A; the load itself cuts off at 10.3 V; at most 60 s");
}

TEST(Range, holds_every_value_that_an_expression_can_have) {
  Ranges ranges;
  ranges.set(Name::cells, {3.0, 6.0});
  ranges.set(Name::cca, {50.0, 2000.0});
  const auto of = [&ranges](const char* text) { return range_of(*Expression::parse(text, ""), ranges); };
  EXPECT_DOUBLE_EQ(of("2 V * cells").low, 6.0);
  EXPECT_DOUBLE_EQ(of("2 V * cells").high, 12.0);
  EXPECT_DOUBLE_EQ(of("min(0.5 * cca, 60 A)").high, 60.0);
  EXPECT_DOUBLE_EQ(of("min(0.5 * cca, 60 A)").low, 25.0);
  EXPECT_DOUBLE_EQ(of("-cells").low, -6.0);
  EXPECT_DOUBLE_EQ(of("12 / cells").high, 4.0);
  EXPECT_DOUBLE_EQ(of("cells - cells").high, 3.0);
  EXPECT_TRUE(of("cells > 2").holds_one());
  EXPECT_FALSE(of("cells > 4").holds_one());
  EXPECT_GT(of("1 / (cells - 4)").high, 1e300);
  EXPECT_GT(of("max(volts, 1 V)").high, 1e300);
  EXPECT_DOUBLE_EQ(of("max(volts, 1 V)").low, 1.0);
}

}  // namespace
}  // namespace leadwright
