// SPDX-License-Identifier: Apache-2.0
// What may be wrong with an instrument, and its mains.
#include "tools/benchsim/sim_fault.h"

#include <gtest/gtest.h>

#include "daemon/clock/virtual_clock.h"
#include "tools/benchsim/battery_spec.h"
#include "tools/benchsim/benchsim.h"

namespace leadwright {
namespace {

using Fault = SimFault;

struct Faults : testing::Test {
  void SetUp() override { bench.plug("bay-1", make_battery("cell:discharged").value()).value(); }
  void set(const char* role, Fault fault, bool on = true) { instrument(role).set_fault(fault, on); }
  SimInstrument& instrument(const char* role) { return *bench.instrument(std::string("bay-1.") + role); }
  std::string ask(const char* role, const std::string& message) {
    std::string answers;
    instrument(role).exchange(message + "\n", answers);
    return answers;
  }
  Terminals& posts() { return *bench.terminals("bay-1"); }

  VirtualClock clock;
  SimBench bench{{1, 0, true, 1, Second(0.0)}, clock};
};

TEST_F(Faults, charger_gives_its_most_when_it_ignores_its_current_though_it_reads_back_well) {
  set("charger", Fault::ignores_amps);
  EXPECT_EQ(ask("charger", "VOLT 16;:CURR 5;:OUTP ON;:CURR?;:MEAS:CURR?"), "5.000;40.000\n");
  set("charger", Fault::ignores_amps, false);
  EXPECT_EQ(ask("charger", "MEAS:CURR?"), "5.000\n");
}

TEST_F(Faults, charger_goes_up_to_its_most_when_it_ignores_its_voltage) {
  ask("charger", "VOLT 13.8;:CURR 10;:OUTP ON");
  set("charger", Fault::ignores_volts);
  clock.run_for(hours(12.0));
  EXPECT_EQ(ask("charger", "VOLT?"), "13.800\n");
  EXPECT_GT(posts().volts(), Volt(15.0));
}

TEST_F(Faults, protection_does_not_act_where_it_is_ignored) {
  ask("charger", "CURR:PROT 10;:CURR:PROT:STAT ON;:VOLT 16;:CURR 5;:OUTP ON");
  set("charger", Fault::ignores_trips);
  set("charger", Fault::ignores_amps);
  EXPECT_EQ(ask("charger", "OUTP?;:MEAS:CURR?;:CURR:PROT:STAT?"), "1;40.000;1\n");
  set("charger", Fault::ignores_trips, false);
  EXPECT_EQ(ask("charger", "OUTP?;:CURR:PROT:TRIP?"), "0;1\n");
}

TEST_F(Faults, load_draws_its_most_when_it_ignores_its_current) {
  set("load", Fault::ignores_amps);
  EXPECT_EQ(ask("load", "CURR 5;:INP ON;:CURR?"), "5.000\n");
  EXPECT_GT(posts().load_amps(), Ampere(90.0));
}

TEST_F(Faults, readings_are_tenfold_clipped_or_overloaded) {
  ask("load", "CURR 25;:INP ON");
  set("load", Fault::reads_tenfold);
  EXPECT_EQ(ask("load", "MEAS:CURR?"), "250.000\n");
  set("load", Fault::reads_tenfold, false);
  set("load", Fault::reads_clipped);
  EXPECT_EQ(ask("load", "MEAS:CURR?;:MEAS:VOLT?"), "10.000;6.000\n");
  set("load", Fault::reads_clipped, false);
  set("load", Fault::overload);
  EXPECT_EQ(ask("load", "MEAS:CURR?"), "9.900e+37\n");
  EXPECT_EQ(posts().load_amps(), Ampere(25.0)) << "the readings alone are wrong";
}

TEST_F(Faults, thermometers_have_those_of_readings_too) {
  set("thermometer", Fault::overload);
  EXPECT_EQ(ask("thermometer", "MEAS:TEMP?"), "9.90e+37\n");
}

TEST_F(Faults, have_words_and_unknown_words_have_none) {
  EXPECT_EQ(sim_fault_of("ignores_amps"), Fault::ignores_amps);
  EXPECT_EQ(sim_fault_of("sings"), std::nullopt);
  EXPECT_NE(sim_fault_words().find("ignores_off, ignores_amps"), std::string::npos);
}

TEST_F(Faults, nothing_flows_and_nothing_is_heard_without_mains) {
  ask("load", "CURR 5;:INP ON");
  instrument("load").lose_mains();
  EXPECT_EQ(posts().load_amps(), Ampere(0.0));
  EXPECT_EQ(ask("load", "*IDN?"), "");
  ask("load", "CURR 7");
  instrument("load").restore_mains(true);
  EXPECT_EQ(ask("load", "CURR?"), "5.000\n");
}

TEST_F(Faults, mains_bring_an_instrument_back_as_it_was_and_it_says_so) {
  ask("load", "*ESR?;CURR 5;:INP ON");
  instrument("load").lose_mains();
  clock.run_for(Second(30.0));
  instrument("load").restore_mains(true);
  clock.run_for(Second(90.0));
  EXPECT_EQ(posts().load_amps(), Ampere(5.0)) << "ninety seconds without anybody";
  EXPECT_EQ(ask("load", "*ESR?;INP?;:CURR?"), "128;1;5.000\n");
}

TEST_F(Faults, mains_bring_an_instrument_back_off_where_it_is_made_so) {
  ask("charger", "*ESR?;VOLT 14.4;:CURR 5;:OUTP ON");
  instrument("charger").lose_mains();
  instrument("charger").restore_mains(false);
  EXPECT_EQ(ask("charger", "*ESR?;OUTP?;:VOLT?"), "128;0;0.000\n");
  EXPECT_EQ(posts().charger_amps(), Ampere(0.0));
}

TEST_F(Faults, an_instrument_that_was_off_stays_off_when_its_mains_are_back) {
  ask("load", "CURR 5");
  instrument("load").lose_mains();
  instrument("load").restore_mains(true);
  EXPECT_EQ(ask("load", "INP?;:CURR?"), "0;5.000\n");
}

}  // namespace
}  // namespace leadwright
