// SPDX-License-Identifier: Apache-2.0
// The simulated Modbus instruments, by the registers of tools/benchsim/sim_registers.h.
#include <gtest/gtest.h>

#include <bit>
#include <cmath>

#include "daemon/clock/virtual_clock.h"
#include "protocol/modbus.h"
#include "protocol/scpi.h"
#include "tools/benchsim/battery_spec.h"
#include "tools/benchsim/benchsim.h"
#include "tools/benchsim/sim_registers.h"

namespace leadwright {
namespace {

using namespace sim_registers;
using Fault = SimInstrument::Fault;

SimBenchOptions all_modbus() {
  SimBenchOptions options{1, 1, true, 1, Second(0.0)};
  options.loads = options.chargers = options.thermometers = SimSpeech::modbus;
  return options;
}

struct Units : testing::Test {
  void SetUp() override { bench.plug("bay-1", make_battery("cell:sound,charged=0.5").value()).value(); }

  ModbusInstrument& unit(const std::string& name) {
    return dynamic_cast<ModbusInstrument&>(*bench.instrument(name));
  }
  std::string ask(const std::string& name, const std::string& request) {
    std::string answer;
    unit(name).request(request, answer);
    return answer;
  }
  int word(const std::string& name, ModbusSpace space, int at) {
    std::string request;
    EXPECT_TRUE(append_modbus_read(request, space, at, 1));
    const std::string answer = ask(name, request);
    EXPECT_TRUE(check_modbus_answer(request, answer));
    return modbus_word(answer, 0);
  }
  bool bit(const std::string& name, ModbusSpace space, int at) {
    std::string request;
    EXPECT_TRUE(append_modbus_read(request, space, at, 1));
    const std::string answer = ask(name, request);
    EXPECT_TRUE(check_modbus_answer(request, answer));
    return modbus_bit(answer, 0);
  }
  double number(const std::string& name, int at) {
    std::string request;
    EXPECT_TRUE(append_modbus_read(request, ModbusSpace::input, at, 2));
    const std::string answer = ask(name, request);
    const std::uint32_t bits =
        static_cast<std::uint32_t>(modbus_word(answer, 0)) << 16U | modbus_word(answer, 1);
    return std::bit_cast<float>(bits);
  }
  /// 0, or the exception that came instead.
  int write(const std::string& name, ModbusSpace space, int at, int value) {
    std::string request;
    EXPECT_TRUE(append_modbus_write(request, space, at, static_cast<std::uint16_t>(value)));
    const std::string answer = ask(name, request);
    return answer.size() == 2 ? answer[1] : 0;
  }

  VirtualClock clock;
  SimBench bench{all_modbus(), clock};
  static constexpr const char* charger = "bay-1.charger";
  static constexpr const char* load = "bay-1.load";
};

TEST_F(Units, say_what_they_are_and_at_which_scale_they_live) {
  EXPECT_EQ(word(charger, ModbusSpace::input, in_maker), 0x4C57);
  EXPECT_EQ(word(charger, ModbusSpace::input, in_kind), 1);
  EXPECT_EQ(word(load, ModbusSpace::input, in_kind), 2);
  EXPECT_EQ(word("bay-1.thermometer", ModbusSpace::input, in_kind), 3);
  EXPECT_EQ(number(charger, in_scale), 1.0);
  EXPECT_NE(word(charger, ModbusSpace::input, in_serial),
            word("charge-1.charger", ModbusSpace::input, in_serial));
}

TEST_F(Units, charge_as_they_are_set) {
  EXPECT_EQ(write(charger, ModbusSpace::holding, hold_volts, 1440), 0);
  EXPECT_EQ(write(charger, ModbusSpace::holding, hold_amps, 1200), 0);
  EXPECT_EQ(write(charger, ModbusSpace::coil, coil_on, 1), 0);
  EXPECT_TRUE(bit(charger, ModbusSpace::coil, coil_on));
  EXPECT_EQ(word(charger, ModbusSpace::holding, hold_amps), 1200);
  EXPECT_NEAR(number(charger, in_sample + 2), 12.0, 1e-6);
  EXPECT_GT(number(charger, in_sample), 12.0);
  EXPECT_EQ(bench.terminals("bay-1")->charger_amps(), Ampere(12.0));
  EXPECT_EQ(write(charger, ModbusSpace::coil, coil_on, 0), 0);
  EXPECT_EQ(number(charger, in_sample + 2), 0.0);
}

TEST_F(Units, draw_down_to_their_cutoff) {
  EXPECT_EQ(write(load, ModbusSpace::holding, hold_cutoff, 1050), 0);
  EXPECT_EQ(write(load, ModbusSpace::holding, hold_amps, 2500), 0);
  EXPECT_EQ(write(load, ModbusSpace::coil, coil_on, 1), 0);
  EXPECT_NEAR(number(load, in_sample + 2), 25.0, 1e-6);
  clock.run_for(hours(3.0));
  EXPECT_FALSE(bit(load, ModbusSpace::coil, coil_on));
  EXPECT_TRUE(bit(load, ModbusSpace::discrete, bit_cutoff));
  EXPECT_EQ(write(load, ModbusSpace::coil, coil_on, 1), 4) << "tripped";
  EXPECT_EQ(write(load, ModbusSpace::coil, coil_clear, 1), 0);
  EXPECT_FALSE(bit(load, ModbusSpace::discrete, bit_cutoff));
  EXPECT_EQ(write(load, ModbusSpace::coil, coil_on, 1), 0);
}

TEST_F(Units, trip_above_their_own_limits) {
  write(load, ModbusSpace::holding, hold_trip_amps, 2000);
  write(load, ModbusSpace::holding, hold_amps, 2500);
  write(load, ModbusSpace::coil, coil_on, 1);
  EXPECT_FALSE(bit(load, ModbusSpace::coil, coil_on));
  EXPECT_TRUE(bit(load, ModbusSpace::discrete, bit_over_amps));
  write(load, ModbusSpace::holding, hold_trip_amps, 0);
  write(load, ModbusSpace::coil, coil_clear, 1);
  EXPECT_EQ(write(load, ModbusSpace::coil, coil_on, 1), 0);
  EXPECT_TRUE(bit(load, ModbusSpace::coil, coil_on));
}

TEST_F(Units, refuse_what_is_beyond_their_range) {
  EXPECT_EQ(write(charger, ModbusSpace::holding, hold_volts, 1801), 3);
  EXPECT_EQ(write(charger, ModbusSpace::holding, hold_amps, 4001), 3);
  EXPECT_EQ(write(load, ModbusSpace::holding, hold_volts, 0), 2);
}

TEST_F(Units, switch_off_by_themselves_when_nothing_is_heard) {
  write(charger, ModbusSpace::holding, hold_watchdog, 20);
  write(charger, ModbusSpace::holding, hold_volts, 1440);
  write(charger, ModbusSpace::holding, hold_amps, 1200);
  write(charger, ModbusSpace::coil, coil_on, 1);
  for (int i = 0; i < 5; ++i) {
    clock.run_for(Second(1.9));
    EXPECT_TRUE(bit(charger, ModbusSpace::coil, coil_on));
  }
  Terminals& posts = *bench.terminals("bay-1");
  const Instant heard = clock.now();
  clock.run_for(Second(100.0));
  posts.settle(heard + Second(1.999));
  EXPECT_TRUE(posts.charger.on);
  posts.settle(heard + Second(2.001));
  EXPECT_FALSE(posts.charger.on);
  EXPECT_FALSE(bit(charger, ModbusSpace::coil, coil_on));
  EXPECT_TRUE(bit(charger, ModbusSpace::discrete, bit_watchdog));
  write(charger, ModbusSpace::coil, coil_clear, 1);
  EXPECT_FALSE(bit(charger, ModbusSpace::discrete, bit_watchdog));
}

TEST_F(Units, say_that_they_were_restarted_until_that_was_acknowledged) {
  EXPECT_TRUE(bit(charger, ModbusSpace::coil, coil_restarted));
  write(charger, ModbusSpace::coil, coil_restarted, 0);
  EXPECT_FALSE(bit(charger, ModbusSpace::discrete, bit_restarted));
  const int starts = word(charger, ModbusSpace::input, in_starts);
  write(charger, ModbusSpace::holding, hold_volts, 1440);
  bench.instrument(charger)->power_cycle();
  EXPECT_TRUE(bit(charger, ModbusSpace::discrete, bit_restarted));
  EXPECT_EQ(word(charger, ModbusSpace::input, in_starts), starts + 1);
  EXPECT_EQ(word(charger, ModbusSpace::holding, hold_volts), 0);
}

TEST_F(Units, answer_as_their_faults_say) {
  SimInstrument& instrument = *bench.instrument(charger);
  instrument.set_fault(Fault::busy, true);
  EXPECT_EQ(write(charger, ModbusSpace::coil, coil_on, 1), 6);
  instrument.set_fault(Fault::busy, false);
  instrument.set_fault(Fault::broken, true);
  EXPECT_EQ(write(charger, ModbusSpace::coil, coil_on, 1), 4);
  instrument.set_fault(Fault::broken, false);
  EXPECT_FALSE(bench.terminals("bay-1")->charger.on);
  instrument.set_fault(Fault::overload, true);
  EXPECT_TRUE(std::isnan(number(charger, in_sample)));
  instrument.set_fault(Fault::wrong_identity, true);
  EXPECT_NE(word(charger, ModbusSpace::input, in_maker), 0x4C57);
  instrument.set_fault(Fault::no_answer, true);
  EXPECT_EQ(ask(charger, std::string("\x05\x00\x00\xFF\x00", 5)), "");
  EXPECT_TRUE(bench.terminals("bay-1")->charger.on) << "it obeys";
}

TEST_F(Units, measure_what_the_scpi_ones_measure) {
  SimBench scpi({1, 1, false, 7, Second(0.0)}, clock);
  SimBenchOptions options = all_modbus();
  options.ideal = false;
  options.seed = 7;
  SimBench modbus(options, clock);
  for (SimBench* each : {&scpi, &modbus}) each->plug("bay-1", make_battery("cell:sound").value()).value();
  std::string text;
  scpi.instrument("bay-1.load")->exchange("MEAS:VOLT?\n", text);
  std::string answer;
  dynamic_cast<ModbusInstrument&>(*modbus.instrument("bay-1.load"))
      .request(std::string("\x04\x00\x64\x00\x02", 5), answer);
  const std::uint32_t bits =
      static_cast<std::uint32_t>(modbus_word(answer, 0)) << 16U | modbus_word(answer, 1);
  EXPECT_NEAR(std::bit_cast<float>(bits), read_scpi_number(trim_scpi(text)).value().value, 1e-6)
      << "the same seed, the same errors";
}

TEST_F(Units, thermometer_has_a_channel_for_each_place) {
  SimBenchOptions options = all_modbus();
  options.one_thermometer = true;
  SimBench one(options, clock);
  one.plug("charge-1", make_battery("cell:sound,ambient_degc=31").value()).value();
  auto& thermometer = dynamic_cast<ModbusInstrument&>(*one.instrument("thermometer"));
  std::string answer;
  thermometer.request(std::string("\x04\x00\x64\x00\x04", 5), answer);
  const auto degrees = [&answer](std::size_t channel) {
    const std::uint32_t bits = static_cast<std::uint32_t>(modbus_word(answer, 2 * channel)) << 16U |
                               modbus_word(answer, 2 * channel + 1);
    return std::bit_cast<float>(bits);
  };
  EXPECT_NEAR(degrees(0), 25.0, 0.005);
  EXPECT_NEAR(degrees(1), 31.0, 0.005);
  EXPECT_EQ(one.instrument("bay-1.thermometer"), nullptr);
}

}  // namespace
}  // namespace leadwright
