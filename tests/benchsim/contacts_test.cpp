// SPDX-License-Identifier: Apache-2.0
// Relays at the posts: isolators, selectors, what is wrong with them, and two batteries joined.
#include "tools/benchsim/contacts.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "daemon/clock/virtual_clock.h"
#include "tools/benchsim/battery_spec.h"
#include "tools/benchsim/benchsim.h"
#include "tools/benchsim/sim_registers.h"

namespace leadwright {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

SimBenchOptions with_relays() {
  SimBenchOptions options{1, 2, true, 1, Second(0.0)};
  options.shared_loads = 1;
  options.relay_boxes = 1;
  return options;
}

/// bay-1 behind an isolator (output 0); load-1 selectable to charge-1 (output 1) and charge-2 (output 2).
struct Relays : testing::Test {
  void SetUp() override {
    for (const char* sentence : {"box-1.0 isolates bay-1", "box-1.1 connects load-1 to charge-1",
                                 "box-1.2 connects load-1 to charge-2"}) {
      const auto wired = bench.wire(sentence);
      ASSERT_TRUE(wired) << wired.error().line();
    }
    plug("bay-1", "cell:sound,charged=1");
    plug("charge-1", "cell:sound,charged=1");
    plug("charge-2", "cell:discharged");
  }
  void plug(const char* place, const char* spec) { bench.plug(place, make_battery(spec).value()).value(); }
  /// Writes the coil as the bus would.
  void output(int number, bool on) {
    std::string answer;
    const std::string request{'\x05', '\0', static_cast<char>(number), on ? '\xFF' : '\0', '\0'};
    box().request(request, answer);
    EXPECT_EQ(answer, request);
  }
  bool reads(char function, int at) {
    std::string answer;
    box().request(std::string{function, '\0', static_cast<char>(at), '\0', '\1'}, answer);
    EXPECT_EQ(answer.size(), 3U);
    return answer.back() == 1;
  }
  bool coil(int number) { return reads('\1', number); }
  bool auxiliary(int number) { return reads('\2', sim_registers::bit_aux + number); }
  std::string ask(const char* instrument, const char* message) {
    std::string answers;
    bench.instrument(instrument)->exchange(std::string(message) + "\n", answers);
    return answers;
  }
  RelayBox& box() { return *bench.relay_box("box-1"); }
  Terminals& posts(const char* place) { return *bench.terminals(place); }

  VirtualClock clock;
  SimBench bench{with_relays(), clock};
};

TEST_F(Relays, isolate_a_place_until_their_contactor_is_closed) {
  EXPECT_EQ(ask("bay-1.load", "MEAS:VOLT?;:CURR 25;:INP ON;:MEAS:CURR?"), "0.000;0.000\n");
  output(0, true);
  EXPECT_TRUE(auxiliary(0));
  EXPECT_EQ(ask("bay-1.load", "MEAS:CURR?"), "25.000\n");
  EXPECT_GT(posts("bay-1").volts(), Volt(11.0));
}

TEST_F(Relays, end_a_draw_by_opening_and_the_battery_rests_behind_them) {
  output(0, true);
  ask("bay-1.load", "CURR 25;:INP ON");
  clock.run_for(minutes(10.0));
  output(0, false);
  const Volt before = bench.battery("bay-1")->battery->terminal(Ampere(0.0));
  EXPECT_EQ(ask("bay-1.load", "MEAS:VOLT?;:MEAS:CURR?;:INP?"), "0.000;0.000;1\n");
  EXPECT_EQ(posts("bay-1").load_amps(), Ampere(0.0));
  clock.run_for(hours(1.0));
  EXPECT_GT(bench.battery("bay-1")->battery->terminal(Ampere(0.0)), before) << "it recovers";
  EXPECT_FALSE(posts("bay-1").load.cutoff.tripped);
}

TEST_F(Relays, leave_the_thermometer_on_the_case) {
  ASSERT_TRUE(bench.unplug("bay-1"));
  plug("bay-1", "cell:sound,ambient_degc=31");
  EXPECT_EQ(ask("bay-1.load", "MEAS:VOLT?"), "0.000\n");
  EXPECT_EQ(ask("bay-1.thermometer", "MEAS:TEMP?"), "31.00\n");
}

TEST_F(Relays, put_a_shared_instrument_onto_the_place_of_the_closed_contact) {
  EXPECT_EQ(ask("load-1", "MEAS:VOLT?"), "0.000\n");
  output(1, true);
  EXPECT_EQ(ask("load-1", "MEAS:VOLT?"), "12.660\n");
  ask("load-1", "CURR 10;:INP ON");
  EXPECT_EQ(posts("charge-1").load_amps(), Ampere(10.0));
  EXPECT_EQ(ask("charge-1.charger", "MEAS:VOLT?"), ask("load-1", "MEAS:VOLT?"));
  output(1, false);
  EXPECT_EQ(posts("charge-1").load_amps(), Ampere(0.0));
  EXPECT_EQ(ask("load-1", "MEAS:VOLT?;:MEAS:CURR?;:CURR?;:INP?"), "0.000;0.000;10.000;1\n");
  output(2, true);
  EXPECT_EQ(posts("charge-2").load_amps(), Ampere(10.0)) << "it was never told to stop";
  EXPECT_EQ(posts("charge-1").load_amps(), Ampere(0.0));
  EXPECT_THAT(bench.joined(), IsEmpty());
}

TEST_F(Relays, record_that_two_batteries_were_joined_and_what_flowed) {
  output(1, true);
  output(2, true);
  ASSERT_EQ(bench.joined().size(), 1U);
  const JoinedPlaces& joined = bench.joined().front();
  EXPECT_THAT(joined.places, ElementsAre("charge-1", "charge-2"));
  EXPECT_EQ(joined.at, clock.now());
  EXPECT_GT(joined.exchange, Ampere(50.0));
  EXPECT_NEAR(posts("charge-1").volts().si(), posts("charge-2").volts().si(), 1e-3);
  EXPECT_EQ(ask("load-1", "MEAS:VOLT?"), ask("charge-2.charger", "MEAS:VOLT?"));
}

TEST_F(Relays, take_charge_from_the_full_battery_while_they_join_it_to_an_empty_one) {
  const Volt empty_before = bench.battery("charge-2")->battery->rested();
  const Volt full_before = bench.battery("charge-1")->battery->rested();
  output(1, true);
  output(2, true);
  clock.run_for(minutes(20.0));
  output(2, false);
  EXPECT_LT(bench.battery("charge-1")->battery->rested(), full_before);
  EXPECT_GT(bench.battery("charge-2")->battery->rested(), empty_before);
  const Volt rested = bench.battery("charge-1")->battery->rested();
  clock.run_for(minutes(20.0));
  EXPECT_NEAR(bench.battery("charge-1")->battery->rested().si(), rested.si(), 1e-3)
      << "nothing flows any more";
  EXPECT_EQ(bench.joined().size(), 1U);
}

TEST_F(Relays, join_at_far_more_than_a_hundred_amperes_where_one_battery_has_a_shorted_cell) {
  ASSERT_TRUE(bench.unplug("charge-2"));
  plug("charge-2", "cell:shorted_cell,c20_ah=120");
  ASSERT_TRUE(bench.unplug("charge-1"));
  plug("charge-1", "cell:sound,charged=1,c20_ah=120");
  output(1, true);
  output(2, true);
  ASSERT_EQ(bench.joined().size(), 1U);
  EXPECT_GT(bench.joined().front().exchange, Ampere(150.0));
}

TEST_F(Relays, exchange_what_volts_and_resistances_say_at_the_moment_of_contact) {
  const auto source = [this](const char* place) {
    const SimBattery& battery = *bench.battery(place)->battery;
    const Volt open = battery.terminal(Ampere(0.0));
    return std::pair(open, (open - battery.terminal(Ampere(10.0))) / Ampere(10.0));
  };
  const auto [high, of_high] = source("charge-1");
  const auto [low, of_low] = source("charge-2");
  output(1, true);
  output(2, true);
  EXPECT_NEAR(bench.joined().front().exchange.si(), ((high - low) / (of_high + of_low)).si(), 0.5);
}

TEST_F(Relays, join_nothing_while_one_of_the_places_is_empty) {
  ASSERT_TRUE(bench.unplug("charge-2"));
  output(1, true);
  output(2, true);
  EXPECT_THAT(bench.joined(), IsEmpty());
  plug("charge-2", "cell:discharged");
  EXPECT_EQ(bench.joined().size(), 1U) << "whoever clamps on now sees the spark";
}

TEST_F(Relays, close_nothing_when_stuck_and_show_it_at_the_auxiliary_contact) {
  box().set_relay_fault(1, RelayFault::stuck_open);
  output(1, true);
  EXPECT_TRUE(coil(1));
  EXPECT_FALSE(auxiliary(1));
  EXPECT_EQ(ask("load-1", "MEAS:VOLT?"), "0.000\n");
}

TEST_F(Relays, open_nothing_when_welded) {
  output(1, true);
  box().set_relay_fault(1, RelayFault::welded);
  output(1, false);
  EXPECT_FALSE(coil(1));
  EXPECT_TRUE(auxiliary(1));
  EXPECT_EQ(ask("load-1", "MEAS:VOLT?"), "12.660\n");
  output(2, true);
  EXPECT_EQ(bench.joined().size(), 1U) << "that is what a welded contact does";
  box().set_relay_fault(1, RelayFault::none);
  EXPECT_FALSE(auxiliary(1));
}

TEST_F(Relays, stay_as_they_are_when_they_ignore_their_coil) {
  box().set_relay_fault(0, RelayFault::ignored);
  output(0, true);
  EXPECT_FALSE(coil(0));
  EXPECT_EQ(ask("bay-1.load", "MEAS:VOLT?"), "0.000\n");
}

TEST_F(Relays, fall_open_when_their_box_hears_nothing) {
  std::string answer;
  box().request(std::string("\x06\x00\x14\x00\x14", 5), answer);  // watchdog 2.0 s
  output(0, true);
  ask("bay-1.load", "CURR 25;:INP ON");
  const Instant heard = clock.now();
  clock.run_for(minutes(10.0));
  posts("bay-1").settle(heard + Second(1.9));
  EXPECT_EQ(posts("bay-1").load_amps(), Ampere(25.0));
  EXPECT_EQ(ask("bay-1.load", "MEAS:CURR?"), "0.000\n");
  EXPECT_FALSE(coil(0));
  EXPECT_TRUE(reads('\2', sim_registers::bit_watchdog));
}

TEST_F(Relays, fall_open_without_mains_and_come_back_as_they_were_or_open) {
  output(0, true);
  box().lose_mains();
  EXPECT_TRUE(posts("bay-1").is_isolated());
  box().restore_mains(true);
  EXPECT_FALSE(posts("bay-1").is_isolated());
  box().lose_mains();
  box().restore_mains(false);
  EXPECT_TRUE(posts("bay-1").is_isolated());
}

TEST_F(Relays, show_contacts_at_the_inputs) {
  box().relays().set_input(3, true);
  EXPECT_TRUE(reads('\2', 3));
  EXPECT_FALSE(reads('\2', 4));
}

TEST_F(Relays, are_wired_by_sentences_that_make_sense) {
  const auto error = [this](const char* sentence) {
    const auto wired = bench.wire(sentence);
    return wired ? std::string() : wired.error().line();
  };
  EXPECT_NE(error("box-1.3 isolates bay-7").find("no such place"), std::string::npos);
  EXPECT_NE(error("box-2.3 isolates bay-1").find("no such relay box"), std::string::npos);
  EXPECT_NE(error("box-1.8 isolates bay-1").find("outputs 0 to 7"), std::string::npos);
  EXPECT_NE(error("box-1. isolates bay-1").find("no such output"), std::string::npos);
  EXPECT_NE(error("box-1.0 isolates bay-1").find("wired already"), std::string::npos);
  EXPECT_NE(error("box-1.3 connects bay-1.load to charge-1").find("no such shared"), std::string::npos);
  EXPECT_NE(error("box-1.3 connects load-1 to bay-1").find("has a load already"), std::string::npos);
  EXPECT_NE(error("box-1.3 feeds bay-1").find("can't read"), std::string::npos);
  EXPECT_NE(error("").find("can't read"), std::string::npos);
}

}  // namespace
}  // namespace leadwright
