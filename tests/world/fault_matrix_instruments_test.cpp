// SPDX-License-Identifier: Apache-2.0
// Rows of the fault matrix in which the line is well and the instrument is not: it shows something else than
// what is, or does something else than what it was told.
#include "tests/world/fault_matrix.h"

namespace leadwright {
namespace {

using namespace fault_matrix;
using testing::HasSubstr;

/// frozen_after of the simulated profiles: so many readings with the same digits.
constexpr double load_frozen_readings = 600.0;
constexpr double charger_frozen_readings = 5000.0;
/// Readings that must agree before a current counts as not following.
constexpr double follow_readings = FollowWatch::samples_off_max;
/// The longest pause between two attempts to connect, and the attempt.
constexpr Second tries_again_within = reconnect_period_max + Second(2.0);

/// Where the envelope of a flooded battery of six cells ends: 2.70 V each (chemistry_limits.h).
constexpr Volt envelope_volts{16.2};

/// 0.2 s, doubled until it is 5 s, and as long again, with half a second for each attempt.
constexpr Second pauses_grow_in{20.0};

class FaultMatrixInstruments : public FaultMatrixOnBoth {
 protected:
  Second readings(Second period, double count) const {
    return (period + answer_after) * count + off_within() + bytes_time;
  }
};

TEST_P(FaultMatrixInstruments, stuck_reading_in_a_draw) {
  at_each_moment([this] {
    draw(GetParam());
    load().set_fault(SimFault::stuck_reading, true);
    expect_safe_within(readings(load_period, load_frozen_readings + 1.0));
    // The reading that is stuck says 25 A after off as well.
    expect_tripped("the readings are frozen; off could not be verified");
  });
}

TEST_P(FaultMatrixInstruments, stuck_reading_in_a_charge) {
  charge(GetParam());
  charger().set_fault(SimFault::stuck_reading, true);
  expect_safe_within(readings(charger_period, charger_frozen_readings + 1.0));
  expect_tripped("the readings are frozen; off could not be verified");
}

// Of Modbus ten times the value is not plausible, and so no reading at all.
TEST_P(FaultMatrixInstruments, too_large_a_range_in_a_draw) {
  at_each_moment([this] {
    const bool is_modbus = GetParam() == SimSpeech::modbus;
    draw(GetParam());
    load().set_fault(SimFault::reads_tenfold, true);
    expect_safe_within(is_modbus ? load_fresh + off_within() + bytes_time : readings(load_period, 1.0));
    expect_tripped(is_modbus ? "no good reading for 1.0 s" : "250.000 A is above the limit of 27.000 A");
  });
}

TEST_P(FaultMatrixInstruments, too_small_a_range_in_a_draw) {
  at_each_moment([this] {
    draw(GetParam());
    load().set_fault(SimFault::reads_clipped, true);
    expect_safe_within(readings(load_period, 1.0));
    expect_tripped("6.000 V is below the limit of 9.000 V");
  });
}

TEST_P(FaultMatrixInstruments, too_large_a_range_in_a_charge) {
  at_each_moment([this] {
    const bool is_modbus = GetParam() == SimSpeech::modbus;
    charge(GetParam());
    charger().set_fault(SimFault::reads_tenfold, true);
    expect_safe_within(is_modbus ? charger_fresh + off_within() + bytes_time : readings(charger_period, 1.0));
    expect_tripped(is_modbus ? "no good reading for 2.0 s" : "V is above the limit of 16.200 V");
  });
}

TEST_P(FaultMatrixInstruments, too_small_a_range_in_a_charge) {
  at_each_moment([this] {
    charge(GetParam());
    charger().set_fault(SimFault::reads_clipped, true);
    expect_safe_within(readings(charger_period, 1.0));
    expect_tripped("1.80 V while charging a battery that rested at 12.0");
  });
}

TEST_P(FaultMatrixInstruments, a_charger_that_ignores_its_limit) {
  at_each_moment([this] {
    charge(GetParam());
    charger().set_fault(SimFault::ignores_amps, true);
    ASSERT_GT(posts().charger_amps(), Ampere(30.0));
    expect_safe_within(readings(charger_period, follow_readings));
    expect_tripped("A where 12.000 A is set");
  });
}

TEST_P(FaultMatrixInstruments, a_charger_that_ignores_its_voltage) {
  // Of a third of its label's capacity, so that 12 A lift it above the envelope; cold, so that it does not
  // trip for its warmth before.
  charge(GetParam(), "cell:discharged,c20_ah=20,ambient_degc=8");
  charger().set_fault(SimFault::ignores_volts, true);
  charger().set_fault(SimFault::ignores_trips, true);
  // Nobody can see it before the battery is nearly full.
  ASSERT_TRUE(
      world->clock().run_until([this] { return posts().volts() > envelope_volts; }, now() + hours(8.0)));
  expect_safe_within(readings(charger_period, 1.0));
  expect_tripped("V is above the limit of 16.200 V");
}

TEST_P(FaultMatrixInstruments, a_load_that_ignores_off) {
  at_each_moment([this] {
    draw(GetParam());
    load().set_fault(SimFault::ignores_off, true);
    const Instant fault = now();
    ASSERT_EQ(world->ask("place.stop", bay, R"({"why":"smell"})").status, 200);
    ASSERT_TRUE(world->finish(bay, minutes(5.0)));
    EXPECT_GT(posts().load_amps(), Ampere(24.0)) << "nothing here can end it";
    EXPECT_GE(log.off_count(load_link, fault), 3);
    EXPECT_GE(log.off_count(charger_link, fault), 1);
    expect_tripped("smell; off could not be verified");
    EXPECT_THAT(place().trip(), HasSubstr("switch it off by hand and disconnect the battery"));
    // Its watchdog, where it has one, ends it once the pauses between attempts are longer. Else it is told
    // again and again, for ever: once it obeys, it is off.
    const bool has_watchdog = GetParam() == SimSpeech::modbus;
    if (!has_watchdog) {
      world->clock().run_for(minutes(10.0));
      load().set_fault(SimFault::ignores_off, false);
    }
    const Second bound = has_watchdog ? pauses_grow_in : tries_again_within;
    const Second took = time_to_safe(bound * 2.0);
    record(has_watchdog ? "time_to_safe_s" : "time_to_safe_once_it_obeys_s", took);
    EXPECT_LE(took.si(), bound.si());
    load().set_fault(SimFault::ignores_off, false);
    world->clock().run_for(Second(20.0));
    EXPECT_TRUE(is_safe());
    EXPECT_EQ(place().problem(), "");
    EXPECT_EQ(place().activity(), Activity::tripped);
    expect_no_energy_since(fault);
  });
}

INSTANTIATE_TEST_SUITE_P(FaultMatrix, FaultMatrixInstruments,
                         testing::Values(SimSpeech::scpi, SimSpeech::modbus), speech_name);

}  // namespace
}  // namespace leadwright
