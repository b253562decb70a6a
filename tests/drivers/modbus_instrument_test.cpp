// SPDX-License-Identifier: Apache-2.0
// Instruments behind Modbus RTU, alone and several on one line.
#include <gmock/gmock.h>

#include <fstream>
#include <iterator>

#include "fake_modbus.h"
#include "world.h"

namespace leadwright {
namespace {

using testing::AllOf;
using testing::HasSubstr;

struct ModbusWorld : testing::Test {
  VirtualClock clock;
  Profile charger_profile = shipped_profile("generic_modbus_charger");
  Profile thermometer_profile = shipped_profile("generic_modbus_thermometer");
  Profile box_profile = shipped_profile("generic_modbus_relay");
  FakeModbusLine device;
  MemoryLink* link = nullptr;
  std::shared_ptr<Line> line;
  std::unique_ptr<Instrument> charger;
  std::unique_ptr<Instrument> thermometer;
  std::unique_ptr<Instrument> box;

  void SetUp() override {
    auto memory = std::make_unique<MemoryLink>("memory:line", clock, device);
    link = memory.get();
    line = std::make_shared<Line>(std::move(memory), clock);
    charger = instrument("bay-1.charger", 1, charger_profile);
    thermometer = instrument("bay-1.thermometer", 2, thermometer_profile);
    box = instrument("box-1", 3, box_profile);
    device.units[1].input = {{0, 0x1234}, {1, 1}, {100, 0x4146}, {101, 0}, {102, 0x40A0}, {103, 0}};
    device.units[1].coils[0] = true;
    device.units[2].input = {{0, 0x1234}, {1, 2}, {100, 253}};
    device.units[3].input = {{0, 0x1234}, {1, 3}};
    for (auto& [number, unit] : device.units) unit.answer_after = Second(0.01);
  }
  std::unique_ptr<Instrument> instrument(const std::string& name, int unit, const Profile& profile) {
    return std::make_unique<Instrument>(name, Instrument::Wiring{line, LinkAddress::Kind::memory, unit},
                                        profile, clock, clock);
  }
  template <class T>
  T run(Task<T> task) {
    return run_to_end(clock, std::move(task));
  }
  void no_current() { device.units[1].input[102] = 0; }
  void connect(Instrument& instrument) {
    const Result<void> connected = run(instrument.connect());
    ASSERT_TRUE(connected) << connected.error().line();
    device.heard.clear();
  }
};

TEST_F(ModbusWorld, switches_off_before_it_asks_anything) {
  no_current();
  ASSERT_TRUE(run(charger->connect()));
  ASSERT_GE(device.heard.size(), 2U);
  EXPECT_EQ(device.heard[0].pdu, std::string("\x05\x00\x00\x00\x00", 5));
  EXPECT_EQ(device.heard[1].pdu, std::string("\x04\x00\x00\x00\x02", 5));
  EXPECT_FALSE(device.units[1].coils[0]);
  EXPECT_EQ(device.units[1].holding[20], 20) << "the heartbeat is armed: 2.0 s in tenths";
  EXPECT_EQ(charger->state(), LinkState::ready);
}

/// The charger's profile with a line about its serial number.
Profile with_serial(const std::string& serial) {
  std::ifstream file(LEADWRIGHT_SOURCE_DIR "/config/profiles/generic_modbus_charger.toml");
  std::string text((std::istreambuf_iterator<char>(file)), std::istreambuf_iterator<char>());
  const std::string before = "equals = [0x1234, 0x0001]\n";
  text.insert(text.find(before) + before.size(), "serial = " + serial + "\n");
  auto profile = parse_profile(text, "charger.toml");
  if (!profile) throw std::runtime_error(profile.error().front().line());
  return *profile;
}

TEST_F(ModbusWorld, a_register_that_holds_a_serial_number_tells_a_unit_from_its_twin) {
  no_current();
  const Profile profile = with_serial(R"({ space = "holding", at = 40, type = "u32", order = "abcd" })");
  charger = instrument("bay-1.charger", 1, profile);
  device.units[1].holding = {{40, 1}, {41, 2}};
  connect(*charger);
  EXPECT_EQ(charger->identity()->serial, "65538");
  EXPECT_TRUE(run(charger->check_identity()));
  device.units[1].holding[41] = 3;
  const Result<void> other = run(charger->check_identity());
  ASSERT_FALSE(other);
  EXPECT_EQ(other.error().code, Errc::conflict);
  EXPECT_THAT(other.error().line(),
              AllOf(HasSubstr("another instrument than before"), HasSubstr("serial number 65539"),
                    HasSubstr("put back unit 65538")));
}

TEST_F(ModbusWorld, a_serial_number_may_be_text_and_must_be_there) {
  no_current();
  const Profile profile = with_serial(R"({ space = "holding", at = 40, words = 3 })");
  charger = instrument("bay-1.charger", 1, profile);
  device.units[1].holding = {{40, 0x4142}, {41, 0x3720}, {42, 0}};
  connect(*charger);
  EXPECT_EQ(charger->identity()->serial, "AB7");
  device.units[1].holding = {{40, 0}, {41, 0}, {42, 0}};
  const Result<void> none = run(charger->check_identity());
  ASSERT_FALSE(none);
  EXPECT_THAT(none.error().line(), HasSubstr("states no serial number"));
}

TEST_F(ModbusWorld, a_serial_number_of_all_ones_or_zero_in_any_number_of_registers_is_none) {
  const std::vector<std::string> kinds{R"({ space = "holding", at = 40, type = "u16" })",
                                       R"({ space = "holding", at = 40, type = "i16" })",
                                       R"({ space = "holding", at = 40, type = "u32", order = "abcd" })",
                                       R"({ space = "holding", at = 40, type = "u32", order = "cdab" })",
                                       R"({ space = "holding", at = 40, words = 1 })",
                                       R"({ space = "holding", at = 40, words = 3 })"};
  no_current();
  for (const std::string& kind : kinds) {
    const Profile profile = with_serial(kind);
    for (const std::uint16_t blank : {std::uint16_t{0xFFFF}, std::uint16_t{0}}) {
      device.units[1].holding = {{40, blank}, {41, blank}, {42, blank}};
      charger = instrument("bay-1.charger", 1, profile);
      const Result<void> none = run(charger->connect());
      ASSERT_FALSE(none) << kind << " of " << blank;
      EXPECT_THAT(none.error().line(), HasSubstr("states no serial number")) << kind << " of " << blank;
    }
  }
}

TEST_F(ModbusWorld, a_serial_number_is_all_ones_only_if_each_of_its_own_registers_is) {
  no_current();
  for (const auto& [type, first, second, shown] :
       {std::tuple{R"("u16")", 0xFFFE, 0xFFFF, "65534"}, std::tuple{R"("u32")", 0xFFFF, 0xFFFE, "4294967294"},
        std::tuple{R"("u32")", 0, 0xFFFF, "65535"}}) {
    const Profile profile = with_serial(
        std::string(R"({ space = "holding", at = 40, order = "abcd", type = )").append(type).append(" }"));
    device.units[1].holding = {{40, static_cast<std::uint16_t>(first)},
                               {41, static_cast<std::uint16_t>(second)}};
    charger = instrument("bay-1.charger", 1, profile);
    connect(*charger);
    EXPECT_EQ(charger->identity()->serial, shown);
  }
}

TEST_F(ModbusWorld, a_serial_number_that_no_register_can_hold_is_a_mistake_of_the_profile) {
  for (const char* wrong : {R"({ space = "coil", at = 1 })", R"({ space = "holding", at = 1, words = 0 })",
                            R"({ space = "holding", at = 65530, words = 8 })"}) {
    EXPECT_ANY_THROW(with_serial(wrong)) << wrong;
  }
}

TEST_F(ModbusWorld, says_that_current_still_flows_after_off) {
  const Result<void> connected = run(charger->connect());
  ASSERT_FALSE(connected);
  EXPECT_THAT(connected.error().line(), HasSubstr("switched off, but current still flows"));
}

TEST_F(ModbusWorld, reads_volts_and_amps_from_one_request) {
  no_current();
  connect(*charger);
  device.units[1].input[102] = 0x40A0;
  const Result<Reading> reading = run(charger->sample());
  ASSERT_TRUE(reading) << reading.error().line();
  // 0x41460000 = 12.375 (captured between libmodbus and pymodbus), 0x40A00000 = 5.0 (IEEE 754)
  EXPECT_EQ(reading->volts, Volt(12.375));
  EXPECT_EQ(reading->amps, Ampere(5.0));
  EXPECT_EQ(device.heard.size(), 1U);
}

TEST_F(ModbusWorld, takes_not_a_number_for_missing_and_an_absurd_number_for_garbled) {
  no_current();
  connect(*charger);
  device.units[1].input[100] = 0x7FC0;
  const Result<Reading> missing = run(charger->sample());
  ASSERT_TRUE(missing);
  EXPECT_FALSE(missing->volts);
  device.units[1].input[100] = 0x0000;
  device.units[1].input[101] = 0x4146;
  device.units[1].input[102] = 0x4146;
  device.units[1].input[103] = 0xC2C8;
  EXPECT_TRUE(run(charger->sample())) << "tiny, but plausible";
  device.units[1].input[100] = 0x47F1;
  const Result<Reading> absurd = run(charger->sample());
  ASSERT_FALSE(absurd);
  EXPECT_THAT(absurd.error().line(), HasSubstr("an implausible read_volts: 123"));
}

TEST_F(ModbusWorld, writes_a_scaled_value_and_reads_it_back) {
  no_current();
  connect(*charger);
  ASSERT_TRUE(run(charger->set_volts(Volt(14.4))));
  EXPECT_EQ(device.units[1].holding[10], 1440);
  EXPECT_EQ(run(charger->set_volts(Volt(17.0))).error().code, Errc::bad_input);
}

TEST_F(ModbusWorld, names_the_register_when_the_unit_refuses_the_address) {
  no_current();
  connect(*charger);
  device.units[1].exception = 2;
  const Result<void> refused = run(charger->set_volts(Volt(14.4)));
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, Errc::unsupported);
  EXPECT_THAT(refused.error().line(), HasSubstr("holding 10"));
}

TEST_F(ModbusWorld, says_which_unit_did_not_answer) {
  device.units[1].is_mute = true;
  const Result<void> connected = run(charger->connect());
  ASSERT_FALSE(connected);
  EXPECT_THAT(connected.error().line(), HasSubstr("of unit 1"));
  EXPECT_THAT(connected.error().line(), HasSubstr("and the unit match"));
}

TEST_F(ModbusWorld, never_takes_a_late_answer_for_that_to_a_later_question) {
  no_current();
  connect(*charger);
  device.units[1].input[100] = 0x4120;  // 10 V, in the answer that comes late
  device.units[1].late_answers = 1;
  std::optional<Result<Reading>> late;
  const Job job(clock.loop(), keep(charger->sample(), late));
  clock.run_for(Second(0.2));
  device.units[1].input[100] = 0x4140;  // 12 V, in every later one
  ASSERT_TRUE(clock.run_until([&job] { return job.done(); }, clock.now() + Second(5.0)));
  ASSERT_TRUE(*late) << late->error().line();
  EXPECT_EQ((*late)->volts, Volt(12.0));
  EXPECT_EQ(charger->counters().time_outs, 1U);
}

TEST_F(ModbusWorld, reads_several_units_on_one_line) {
  no_current();
  connect(*charger);
  connect(*thermometer);
  const Result<Reading> reading = run(thermometer->sample());
  ASSERT_TRUE(reading);
  EXPECT_EQ(reading->temperature, Celsius(25.3));
  EXPECT_TRUE(run(charger->sample()));
  EXPECT_TRUE(link->is_open());
}

TEST_F(ModbusWorld, goes_on_with_the_others_when_one_unit_is_dead) {
  no_current();
  connect(*charger);
  device.units[2].is_mute = true;
  std::optional<Result<void>> dead;
  const Job job(clock.loop(), keep(thermometer->connect(), dead));
  for (int i = 0; i < 5; ++i) {
    const Instant asked = clock.now();
    ASSERT_TRUE(run(charger->sample()));
    // One time-out of the dead unit, the silence before it and after it, and our own exchange.
    EXPECT_LT(clock.now() - asked, Second(0.25 + 2 * 0.05 + 0.03));
  }
  clock.run_for(Second(5.0));
  ASSERT_TRUE(dead);
  EXPECT_FALSE(*dead);
  EXPECT_TRUE(link->is_open()) << "the line of the others stays open";
  EXPECT_EQ(charger->state(), LinkState::ready);
}

TEST_F(ModbusWorld, lets_off_pass_everybody_who_waits_but_not_the_frame_on_the_wire) {
  no_current();
  connect(*charger);
  connect(*thermometer);
  device.heard.clear();
  clock.run_for(Second(0.01));
  std::optional<Result<Reading>> first;
  std::optional<Result<Reading>> second;
  const Job sampling(clock.loop(), keep(thermometer->sample(), first));
  const Job waiting(clock.loop(), keep(thermometer->sample(), second));
  ASSERT_EQ(device.heard.size(), 1U);
  EXPECT_TRUE(charger->off_now());
  EXPECT_EQ(device.heard.size(), 1U) << "an answer is due on the wires";
  clock.run_for(Second(1.0));
  ASSERT_GE(device.heard.size(), 3U);
  EXPECT_EQ(device.heard[1].unit, 1);
  EXPECT_EQ(device.heard[1].pdu, std::string("\x05\x00\x00\x00\x00", 5));
  EXPECT_TRUE(*first);
  EXPECT_TRUE(*second);
  EXPECT_GE(charger->off_within(), Second(0.25));
}

TEST_F(ModbusWorld, lets_off_wait_for_one_frame_and_not_for_all_that_a_turn_may_send) {
  no_current();
  connect(*charger);
  connect(*thermometer);
  link->cable().strike(CableFault::endless());
  std::optional<Result<Reading>> sampled;
  const Job sampling(clock.loop(), keep(thermometer->sample(), sampled));
  // The answer was garbled, and the next turn waits a whole second for a silence that does not come.
  clock.run_for(Second(0.2));
  device.heard.clear();
  const Instant decided = clock.now();
  EXPECT_TRUE(charger->off_now());
  const auto is_told = [this] { return !device.heard.empty() && device.heard.back().unit == 1; };
  ASSERT_TRUE(clock.run_until(is_told, decided + Second(2.0)));
  EXPECT_EQ(device.heard.back().pdu, std::string("\x05\x00\x00\x00\x00", 5));
  EXPECT_LE((clock.now() - decided).si(), charger->off_within().si());
}

TEST_F(ModbusWorld, cancels_what_would_energise_after_off) {
  no_current();
  connect(*charger);
  connect(*thermometer);
  device.heard.clear();
  std::optional<Result<Reading>> sampled;
  const Job sampling(clock.loop(), keep(thermometer->sample(), sampled));
  std::optional<Result<void>> enabled;
  const Job enabling(clock.loop(), keep(charger->enable(true), enabled));
  charger->off_now();
  clock.run_for(Second(1.0));
  ASSERT_TRUE(enabled);
  EXPECT_EQ(enabled->error().code, Errc::stopped);
  EXPECT_FALSE(device.units[1].coils[0]);
  for (const auto& heard : device.heard) EXPECT_NE(heard.pdu, std::string("\x05\x00\x00\xFF\x00", 5));
}

TEST_F(ModbusWorld, switches_and_reads_back_one_output_of_a_box) {
  connect(*box);
  ASSERT_TRUE(run(box->set_output(2, true)));
  EXPECT_TRUE(device.units[3].coils[2]);
  EXPECT_EQ(run(box->read_output(2)), true);
  EXPECT_EQ(run(box->read_output(1)), false);
  EXPECT_TRUE(box->output_off_now(2));
  clock.run_for(Second(0.5));
  EXPECT_FALSE(device.units[3].coils[2]);
  EXPECT_EQ(run(box->set_output(8, true)).error().code, Errc::unsupported);
}

TEST_F(ModbusWorld, hears_the_answer_to_off_out_before_it_asks_a_unit_that_takes_its_time) {
  device.units[3].answer_after = Second(0.054);
  connect(*box);
  clock.run_for(Second(0.5));
  const std::uint64_t garbles = box->counters().garbles;
  EXPECT_TRUE(box->output_off_now(2));
  EXPECT_EQ(run(box->read_output(1)), false);
  EXPECT_EQ(box->counters().garbles, garbles);
}

}  // namespace
}  // namespace leadwright
