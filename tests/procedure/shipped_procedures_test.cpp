// SPDX-License-Identifier: Apache-2.0
// The procedures of config/procedures read without an error, and their end conditions do what they say.
#include <gtest/gtest.h>

#include <algorithm>

#include "daemon/battery/charge.h"
#include "daemon/procedure/procedure.h"
#include "daemon/procedure/proof.h"

namespace leadwright {
namespace {

const std::vector<Procedure>& shipped() {
  static const auto procedures = load_procedures(LEADWRIGHT_SOURCE_DIR "/config/procedures");
  static const std::vector<Procedure> none;
  if (!procedures) {
    for (const Error& error : procedures.error()) ADD_FAILURE() << error.line();
    return none;
  }
  return *procedures;
}

const Procedure& named(const std::string& name) {
  const auto& all = shipped();
  const auto found = std::find_if(all.begin(), all.end(), [&](const Procedure& p) { return p.name == name; });
  EXPECT_NE(found, all.end()) << name;
  static const Procedure none;
  return found == all.end() ? none : *found;
}

const Step& step(const Procedure& procedure, const std::string& name) {
  for (const Step& one : procedure.steps)
    if (one.name == name) return one;
  ADD_FAILURE() << procedure.name << " has no step " << name;
  static const Step none;
  return none;
}

/// A label that states nothing but chemistry and cells; capacity is then taken as 40 Ah.
Values bare_label() {
  Values values;
  values.set(Name::cells, 6.0);
  values.set(Name::capacity, 40.0 * 3600.0);
  values.set(Name::charge_volts, 14.4);
  return values;
}

/// As above, with the procedure's own names at their defaults.
Values bound(const Procedure& procedure) {
  Values values = bare_label();
  values.set(Name::load_amps_max, 30.0);
  const auto names = bind_names(procedure, Chemistry::flooded, {}, values);
  EXPECT_TRUE(names) << names.error().line();
  return values;
}

constexpr const char* needs_cca = "half-CCA load test";

TEST(ShippedProcedures, hold_the_six_that_the_planner_names) {
  EXPECT_EQ(shipped().size(), 20U);
  for (const char* name : {"intake check", "internal resistance", "standard charge", "stability rest",
                           "reserve capacity", "recharge before leaving"}) {
    EXPECT_GE(named(name).version, 1);
  }
}

TEST(ShippedProcedures, need_no_rating_on_the_label_but_for_the_load_test) {
  for (const Procedure& procedure : shipped()) {
    if (procedure.name == needs_cca) continue;
    Values values = bound(procedure);
    for (const Step& one : procedure.steps) {
      values.enter(one.frame);
      for (const auto* expression : {&one.amps, &one.volts, &one.cutoff, &one.at_most}) {
        if (!*expression) continue;
        EXPECT_TRUE((*expression)->evaluate(values)) << procedure.name << ": " << one.name;
      }
    }
    values.enter(0);
    const EnvelopeLimits& limits = procedure.limits();
    for (const auto* expression : {&limits.volts_min, &limits.volts_max, &limits.amps_max, &limits.case_min,
                                   &limits.case_max, &limits.charge_max, &limits.time_max}) {
      if (*expression) {
        EXPECT_TRUE((*expression)->evaluate(values)) << procedure.name;
      }
    }
  }
}

TEST(ShippedProcedures, fit_their_steps_into_their_time_limit) {
  for (const Procedure& procedure : shipped()) {
    const Values values = bound(procedure);
    const auto most = longest(procedure, values);
    ASSERT_TRUE(procedure.limits().time_max && most) << procedure.name;
    EXPECT_LT(most->si(), *procedure.limits().time_max->evaluate(values)) << procedure.name;
  }
}

TEST(ShippedProcedures, draw_within_their_own_current_limit) {
  for (const Procedure& procedure : shipped()) {
    Values values = bound(procedure);
    values.set(Name::cca, 600.0);
    values.set(Name::cranking_load, 300.0);
    for (const Step& one : procedure.steps) {
      if (!draws(one.kind) || !procedure.limits().amps_max) continue;
      values.enter(one.frame);
      const double most = *procedure.limits().amps_max->evaluate(values);
      EXPECT_LT(*one.amps->evaluate(values), most) << procedure.name;
      if (one.instead) {
        EXPECT_LT(*one.instead->amps.evaluate(values), most) << procedure.name;
      }
    }
  }
}

TEST(ShippedProcedures, ask_for_consent_before_a_complete_discharge_that_the_chain_does_not_make) {
  for (const char* name : {"20-hour capacity", "conditioning cycle"}) {
    EXPECT_EQ(named(name).consent, "complete discharge") << name;
  }
  const Procedure& confirmation = named("new-battery confirmation");
  EXPECT_TRUE(std::none_of(confirmation.steps.begin(), confirmation.steps.end(),
                           [](const Step& one) { return energises(one.kind); }));
}

TEST(ShippedProcedures, are_attended_where_a_battery_may_not_be_what_it_seems) {
  for (const char* name :
       {"recovery of a deep-discharged battery", "three-minute charge", "lead or not", "bench self-check"}) {
    EXPECT_TRUE(named(name).attended) << name;
  }
}

TEST(ReserveCapacityProcedure, ends_at_1_75_volts_a_cell_before_the_loads_own_cut_off) {
  const Step& draw = step(named("reserve capacity"), "draw");
  Values values = bare_label();
  values.set(Name::volts, 10.501);
  EXPECT_FALSE(draw.until.at(0).when.holds(values));
  values.set(Name::volts, 10.500);
  EXPECT_TRUE(draw.until.at(0).when.holds(values));
  EXPECT_NEAR(*draw.cutoff->evaluate(values), 10.32, 1e-9);
  EXPECT_EQ(*draw.amps->evaluate(values), 25.0);
  EXPECT_EQ(draw.until.at(0).hold, Second(0.0));
}

/// The name of the first end condition that is true; empty if none is.
std::string ending(const Step& one, const Values& values) {
  for (const Condition& condition : one.until)
    if (condition.when.holds(values)) return condition.name;
  return {};
}

Values charging(Volt volts, Ampere amps, Second time, Coulomb charge, std::optional<double> change_per_hour) {
  Values values = bare_label();
  values.set(Name::volts, volts.si());
  values.set(Name::amps, amps.si());
  values.set(Name::step_time, time.si());
  values.set(Name::step_charge, charge.si());
  values.set(Name::case_temperature, 25.0);
  if (change_per_hour) values.set(Name::amps_change, *change_per_hour / 3600.0);
  return values;
}

class ChargeProcedure : public testing::TestWithParam<const char*> {
 protected:
  const Step& charge() { return step(named(GetParam()), "charge"); }
};

TEST_P(ChargeProcedure, goes_on_in_bulk_and_while_the_current_tapers) {
  EXPECT_EQ(ending(charge(), charging(Volt(13.2), Ampere(8.0), hours(2.0), ampere_hours(16.0), 0.0)), "");
  EXPECT_EQ(ending(charge(), charging(Volt(14.4), Ampere(3.0), hours(5.0), ampere_hours(30.0), 0.5)), "");
}

TEST_P(ChargeProcedure, ends_when_the_current_is_stable_at_the_limit) {
  EXPECT_EQ(ending(charge(), charging(Volt(14.4), Ampere(0.6), hours(9.0), ampere_hours(42.0), 0.08)),
            "charge current is stable");
}

TEST_P(ChargeProcedure, ends_when_a_full_battery_takes_little) {
  EXPECT_EQ(
      ending(charge(), charging(Volt(14.4), Ampere(0.05), minutes(45.0), ampere_hours(0.4), std::nullopt)),
      "charge current is small");
}

TEST_P(ChargeProcedure, waits_eight_hours_before_it_says_that_a_battery_takes_no_charge) {
  EXPECT_EQ(
      ending(charge(), charging(Volt(14.4), Ampere(0.01), hours(7.9), ampere_hours(0.08), std::nullopt)), "");
  EXPECT_EQ(
      ending(charge(), charging(Volt(14.4), Ampere(0.01), hours(8.1), ampere_hours(0.08), std::nullopt)),
      "takes no charge");
}

TEST_P(ChargeProcedure, ends_when_the_voltage_stays_a_cell_too_low) {
  EXPECT_EQ(ending(charge(), charging(Volt(11.8), Ampere(8.0), hours(2.6), ampere_hours(20.8), 0.0)),
            "one cell's voltage is missing");
  EXPECT_EQ(ending(charge(), charging(Volt(12.3), Ampere(8.0), hours(2.6), ampere_hours(20.8), 0.0)), "");
}

TEST_P(ChargeProcedure, ends_when_the_voltage_is_stuck_below_its_limit) {
  Values values = charging(Volt(13.0), Ampere(8.0), hours(3.0), ampere_hours(24.0), 0.0);
  EXPECT_EQ(ending(charge(), values), "");
  values.set(Name::slope, 48e-3 / 3600.0);
  EXPECT_EQ(ending(charge(), values), "") << "a sound battery at a twentieth of its capacity in an hour";
  values.set(Name::slope, 2e-3 / 3600.0);
  EXPECT_EQ(ending(charge(), values), "one cell's voltage is missing");
}

// The words by which daemon/battery tells a fault from the end of a charge.
TEST_P(ChargeProcedure, names_the_ends_that_prove_a_fault_as_the_estimator_reads_them) {
  for (const char* name : {takes_no_charge_end, stays_low_end}) {
    const auto& until = charge().until;
    EXPECT_TRUE(std::any_of(until.begin(), until.end(), [&](const Condition& one) {
      return one.name == name;
    })) << name;
  }
}

TEST_P(ChargeProcedure, stops_when_the_current_of_a_hot_battery_rises) {
  Values values = charging(Volt(14.4), Ampere(4.0), hours(5.0), ampere_hours(30.0), -0.3);
  EXPECT_FALSE(charge().abort.at(0).when.holds(values));
  values.set(Name::case_temperature, 45.0);
  EXPECT_TRUE(charge().abort.at(0).when.holds(values));
}

INSTANTIATE_TEST_SUITE_P(Both, ChargeProcedure, testing::Values("standard charge", "recharge before leaving"),
                         [](const auto& one) { return one.index == 0 ? "standard" : "before_leaving"; });

TEST(StabilityRest, ends_only_on_a_slope_of_half_an_hour_below_5_millivolts_an_hour) {
  const Step& settle = step(named("stability rest"), "settle");
  Values values = bare_label();
  values.set(Name::step_time, 1860.0);
  for (const double mv_per_hour : {-12.0, -5.1, 5.1}) {
    values.set(Name::slope, mv_per_hour * 1e-3 / 3600.0);
    EXPECT_EQ(ending(settle, values), "") << mv_per_hour;
  }
  values.set(Name::slope, -4.0e-3 / 3600.0);
  EXPECT_EQ(ending(settle, values), "voltage is stable");
  values.set(Name::step_time, 1200.0);
  EXPECT_EQ(ending(settle, values), "");
  values.set(Name::slope, std::nullopt);
  values.set(Name::step_time, 7200.0);
  EXPECT_EQ(ending(settle, values), "");
}

TEST(StabilityRest, lets_the_gas_go_for_an_hour_first) {
  const Procedure& rest = named("stability rest");
  ASSERT_FALSE(rest.steps.empty());
  EXPECT_EQ(rest.steps[0].kind, StepKind::rest);
  EXPECT_TRUE(rest.steps[0].until.empty());
  EXPECT_EQ(*rest.steps[0].at_most->evaluate(bare_label()), 3600.0);
}

}  // namespace
}  // namespace leadwright
