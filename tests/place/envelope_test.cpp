// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/envelope.h"

#include <gtest/gtest.h>

#include "daemon/place/label_values.h"

namespace leadwright {
namespace {

Nameplate flooded_12v() {
  Nameplate plate;
  plate.chemistry = Chemistry::flooded;
  plate.cells = 6;
  plate.c20 = Rating<Coulomb>{ampere_hours(60.0), RatingStandard::en};
  return plate;
}

Expression limit(std::string_view text) {
  auto expression = Expression::parse(text, "test");
  EXPECT_TRUE(expression) << text;
  return *expression;
}

constexpr InstrumentReach reach{Ampere(60.0), Ampere(30.0), Volt(16.5)};

Result<Envelope> envelope_of_limits(const EnvelopeLimits& limits) {
  Procedure procedure;
  procedure.frames.front().limits = limits;
  const Nameplate plate = flooded_12v();
  auto envelopes = envelopes_for(procedure, plate, label_values(plate, Celsius(20.0)), reach);
  if (!envelopes) return tl::unexpected<Error>(envelopes.error());
  return envelopes->front();
}

Sample reading(double volts, double amps, double degc) {
  Sample sample;
  sample.volts = Volt(volts);
  sample.amps = Ampere(amps);
  sample.temperature = Celsius(degc);
  return sample;
}

TEST(Envelope, the_tightest_of_chemistry_and_procedure_wins_in_both_directions) {
  EnvelopeLimits limits;
  limits.volts_min = limit("1.6 V * cells");
  limits.volts_max = limit("99 V");
  limits.case_max = limit("45 degC");
  const auto envelope = envelope_of_limits(limits);
  ASSERT_TRUE(envelope) << envelope.error().line();
  EXPECT_DOUBLE_EQ(envelope->volts_min.si(), 9.6);
  EXPECT_DOUBLE_EQ(envelope->volts_max.si(), 16.2);  // 2.70 V a cell: the chemistry's own
  EXPECT_DOUBLE_EQ(envelope->case_max.degc(), 45.0);
}

TEST(Envelope, a_charge_ends_at_twice_the_capacity_whatever_the_procedure_says_or_leaves_out) {
  Procedure procedure;
  procedure.steps.emplace_back().kind = StepKind::charge;
  const auto charge_max = [&procedure](double ampere_hours_of_label) {
    Nameplate plate = flooded_12v();
    plate.c20->value = ampere_hours(ampere_hours_of_label);
    const auto envelopes = envelopes_for(procedure, plate, label_values(plate, Celsius(20.0)), reach);
    return envelopes ? as_ampere_hours(envelopes->front().charge_max) : 0.0;
  };
  EXPECT_DOUBLE_EQ(charge_max(100.0), 200.0);
  EXPECT_DOUBLE_EQ(charge_max(40.0), 120.0);
  procedure.frames.front().limits.charge_max = limit("300 Ah");
  EXPECT_DOUBLE_EQ(charge_max(100.0), 200.0);
  procedure.frames.front().limits.charge_max = limit("50 Ah");
  EXPECT_DOUBLE_EQ(charge_max(100.0), 50.0);
  procedure.frames.front().limits.charge_max.reset();
  procedure.steps.front().kind = StepKind::draw;
  EXPECT_DOUBLE_EQ(charge_max(100.0), 400.0);
}

TEST(Envelope, a_limit_that_needs_a_missing_datum_is_an_error_and_not_a_missing_limit) {
  EnvelopeLimits limits;
  limits.amps_max = limit("0.5 * cca");
  EXPECT_FALSE(envelope_of_limits(limits));
}

TEST(Envelope, limits_that_leave_nothing_are_an_error) {
  EnvelopeLimits limits;
  limits.volts_min = limit("17 V");
  EXPECT_FALSE(envelope_of_limits(limits));
}

TEST(Envelope, each_limit_is_breached_just_beyond_it_and_not_at_it) {
  Envelope envelope;
  envelope.volts_min = Volt(9.0);
  envelope.volts_max = Volt(16.0);
  envelope.amps_max = Ampere(27.0);
  envelope.case_min = Celsius(0.0);
  envelope.case_max = Celsius(50.0);
  envelope.charge_max = ampere_hours(60.0);
  envelope.time_max = hours(10.0);
  const Coulomb none{0.0};
  EXPECT_FALSE(breach(envelope, reading(9.0, 25.0, 50.0), Energy::draw, none));
  EXPECT_TRUE(breach(envelope, reading(8.999, 25.0, 25.0), Energy::draw, none));
  EXPECT_FALSE(breach(envelope, reading(16.0, -10.0, 0.0), Energy::charge, none));
  EXPECT_TRUE(breach(envelope, reading(16.001, -10.0, 25.0), Energy::charge, none));
  EXPECT_TRUE(breach(envelope, reading(12.0, 27.01, 25.0), Energy::draw, none));
  EXPECT_TRUE(breach(envelope, reading(14.0, -27.01, 25.0), Energy::charge, none));
  EXPECT_TRUE(breach(envelope, reading(12.0, 25.0, 50.01), Energy::draw, none));
  EXPECT_TRUE(breach(envelope, reading(14.0, -5.0, -0.01), Energy::charge, none));
  EXPECT_TRUE(breach(envelope, reading(12.0, 25.0, 25.0), Energy::draw, ampere_hours(60.01)));
  Sample late = reading(12.0, 0.0, 25.0);
  late.at = hours(10.01);
  EXPECT_TRUE(breach(envelope, late, Energy::none, none));
}

TEST(Envelope, a_resting_battery_below_the_draw_limit_is_no_breach) {
  Envelope envelope;
  envelope.volts_min = Volt(9.0);
  envelope.time_max = hours(1.0);
  envelope.charge_max = ampere_hours(1.0);
  EXPECT_FALSE(breach(envelope, reading(5.0, 0.0, 25.0), Energy::none, Coulomb(0.0)));
}

TEST(Envelope, a_case_that_may_be_no_warmer_than_it_must_be_is_an_error) {
  EnvelopeLimits limits;
  limits.case_min = limit("40 degC");
  limits.case_max = limit("40 degC");
  EXPECT_FALSE(envelope_of_limits(limits));
}

TEST(Envelope, a_battery_whose_hard_limits_nobody_knows_has_none) {
  Nameplate plate = flooded_12v();
  plate.cells = 4;
  EXPECT_FALSE(envelopes_for(Procedure{}, plate, label_values(plate, Celsius(20.0)), reach));
}

TEST(Envelope, what_was_not_measured_breaches_nothing_and_hides_no_other_breach) {
  Envelope envelope;
  envelope.volts_min = Volt(9.0);
  envelope.volts_max = Volt(16.0);
  envelope.amps_max = Ampere(27.0);
  envelope.case_max = Celsius(50.0);
  envelope.charge_max = ampere_hours(60.0);
  envelope.time_max = hours(10.0);
  for (const Energy energy : {Energy::none, Energy::draw, Energy::charge}) {
    EXPECT_FALSE(breach(envelope, Sample{}, energy, Coulomb(0.0)));
  }
  Sample amps_alone;
  amps_alone.amps = Ampere(30.0);
  EXPECT_TRUE(breach(envelope, amps_alone, Energy::draw, Coulomb(0.0)));
  EXPECT_TRUE(breach(envelope, amps_alone, Energy::charge, Coulomb(0.0)));
  EXPECT_FALSE(breach(envelope, amps_alone, Energy::none, Coulomb(0.0)));
  Sample hot;
  hot.temperature = Celsius(60.0);
  EXPECT_TRUE(breach(envelope, hot, Energy::charge, Coulomb(0.0)));
  EXPECT_FALSE(breach(envelope, hot, Energy::none, Coulomb(0.0)));
}

}  // namespace
}  // namespace leadwright
