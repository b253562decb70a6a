// SPDX-License-Identifier: Apache-2.0
#include <gtest/gtest.h>

#include "daemon/clock/virtual_clock.h"
#include "tools/benchsim/battery_spec.h"
#include "tools/benchsim/benchsim.h"

namespace leadwright {
namespace {

struct TwoQuadrant : testing::Test {
  static SimBenchOptions options() {
    SimBenchOptions options{1, 0, true, 1, Second(0.0)};
    options.two_quadrant = true;
    return options;
  }
  void SetUp() override { bench.plug("bay-1", make_battery("cell:sound,charged=0.5").value()).value(); }
  std::string operator()(const std::string& message) {
    std::string answers;
    bench.instrument("bay-1.two_quadrant")->exchange(message + "\n", answers);
    return answers;
  }
  VirtualClock clock;
  SimBench bench{options(), clock};
};

TEST_F(TwoQuadrant, stands_where_load_and_charger_would) {
  EXPECT_EQ((*this)("*IDN?"), "Leadwright,simulated two-quadrant unit,bay-1.two_quadrant,sim-1\n");
  EXPECT_EQ(bench.instrument("bay-1.load"), nullptr);
  EXPECT_EQ(bench.instrument("bay-1.charger"), nullptr);
}

TEST_F(TwoQuadrant, gives_with_its_output_on_and_counts_that_positive) {
  EXPECT_EQ((*this)("VOLT 14.4;:CURR 12;:OUTP ON;:MEAS:CURR?;:OUTP?;:INP?"), "12.000;1;0\n");
  EXPECT_EQ(bench.terminals("bay-1")->charger_amps(), Ampere(12.0));
}

TEST_F(TwoQuadrant, takes_with_its_input_on_and_counts_that_negative) {
  EXPECT_EQ((*this)("CURR 25;:INP ON;:MEAS:CURR?;:OUTP?;:INP?"), "-25.000;0;1\n");
  EXPECT_EQ(bench.terminals("bay-1")->load_amps(), Ampere(25.0));
}

TEST_F(TwoQuadrant, never_gives_and_takes_at_once) {
  (*this)("VOLT 14.4;:CURR 12;:OUTP ON");
  EXPECT_EQ((*this)("*CLS;INP ON;:INP?;:SYST:ERR?").substr(0, 6), "0;-221");
  (*this)("OUTP OFF;:INP ON");
  EXPECT_EQ((*this)("*CLS;OUTP ON;:OUTP?;:SYST:ERR?").substr(0, 6), "0;-221");
  EXPECT_EQ((*this)("OUTP OFF;:INP?"), "1\n") << "what is off anyway may be switched off";
}

TEST_F(TwoQuadrant, has_one_current_for_both_directions) {
  EXPECT_EQ((*this)("CURR 60;:CURR?;:CURR? MAX;:VOLT? MAX"), "60.000;60.000;18.000\n");
  EXPECT_EQ((*this)("*CLS;CURR 61;:SYST:ERR?").substr(0, 4), "-222");
}

TEST_F(TwoQuadrant, cuts_a_draw_off_at_its_low_voltage) {
  (*this)("INP:CUT 10.5;:CURR 25;:INP ON");
  clock.run_for(hours(3.0));
  EXPECT_EQ((*this)("INP?;:INP:CUT:TRIP?;:STAT:QUES:COND?"), "0;1;512\n");
  EXPECT_EQ((*this)("*CLS;OUTP ON;:SYST:ERR?").substr(0, 4), "-221") << "tripped";
  EXPECT_EQ((*this)("INP:CUT:CLE;:VOLT 14.4;:OUTP ON;:OUTP?"), "1\n");
}

TEST_F(TwoQuadrant, trips_in_either_direction) {
  EXPECT_EQ((*this)("CURR:PROT 20;:CURR:PROT:STAT ON;:CURR 25;:INP ON;:INP?;:CURR:PROT:TRIP?"), "0;1\n");
  EXPECT_EQ((*this)("CURR:PROT:CLE;:VOLT 15;:OUTP ON;:OUTP?;:CURR:PROT:TRIP?"), "0;1\n");
}

TEST_F(TwoQuadrant, is_off_after_a_power_cycle) {
  (*this)("CURR 25;:INP ON");
  bench.instrument("bay-1.two_quadrant")->power_cycle();
  EXPECT_EQ((*this)("*ESR?;INP?;:OUTP?;:CURR?"), "128;0;0;0.000\n");
}

}  // namespace
}  // namespace leadwright
