// SPDX-License-Identifier: Apache-2.0
// The probe on a line of Modbus units: who is there, what its profile says, and what goes out.
#include <gmock/gmock.h>

#include "report_texts.h"
#include "sim_lines.h"
#include "tests/drivers/fake_modbus.h"
#include "tools/client/instrument/modbus_probe.h"
#include "tools/client/instrument/probe.h"
#include "tools/client/instrument/profile_questions.h"

namespace leadwright {
namespace {

using testing::AllOf;
using testing::AnyOf;
using testing::Contains;
using testing::HasSubstr;

/// A charging place whose instruments speak Modbus, each on its line, and a line of invented units.
struct ModbusProbeTest : SimLines {
  std::unique_ptr<SimBench> modbus_bench;
  FakeModbusLine units;  ///< "memory:units"
  const LinkAddress units_line{LinkAddress::Kind::memory, "units"};
  const LinkAddress modbus_charger{LinkAddress::Kind::memory, "charge-1.charger"};

  void SetUp() override {
    SimLines::SetUp();
    SimBenchOptions options;
    options.bays = 0;
    options.charging_places = 1;
    options.ideal = true;
    options.answer_after = Second(0.004);
    options.chargers = options.thermometers = SimSpeech::modbus;
    modbus_bench = std::make_unique<SimBench>(options, clock);
    modbus_bench->add_to(links);
    links.add("units", units);
    // Registers as config/profiles/generic_modbus_relay.toml invents them.
    units.units[3].input = {{0, 0x1234}, {1, 3}};
  }

  Result<ProbeReport> look(const LinkAddress& address, const Profile* profile, int unit = 1,
                           bool settings = false) {
    ProbeOrder order{address, {SerialSettings{}}, profile, 20, settings, unit};
    return run(probe(std::move(order), links, clock, [](const std::string&) {}));
  }
  /// Asks for one register of a unit of the invented line.
  Result<WhoAnswered> ask(int unit) {
    const auto link = std::move(*links.make(units_line, {}));
    EXPECT_TRUE(run(link->open(clock.now() + Second(1.0))));
    const ModbusProbe step(false, unit);
    return run(step.ask(*link, clock));
  }
  bool charge_flows() { return modbus_bench->terminals("charge-1")->charger_amps() > Ampere(0.01); }
};

TEST_F(ModbusProbeTest, finds_a_unit_without_a_profile) {
  const auto report = look(modbus_charger, nullptr);
  ASSERT_TRUE(report) << report.error().line();
  EXPECT_EQ(report->protocol, "Modbus");
  EXPECT_THAT(report->identity, HasSubstr("unit 1; "));
  const auto absent = look(modbus_charger, nullptr, 9);
  ASSERT_FALSE(absent);
  EXPECT_EQ(absent.error().code, Errc::timed_out);
}

TEST_F(ModbusProbeTest, asks_one_register_and_takes_an_exception_for_an_answer) {
  units.units[1].holding[0] = 0xBEEF;
  EXPECT_EQ(ask(1)->identity, "unit 1; holding 0 is 0xBEEF");
  ASSERT_EQ(units.heard.size(), 1U);
  EXPECT_EQ(describe_modbus(units.heard.front().pdu), "read holding 0, 1 word");
  units.units[1].exception = 2;
  EXPECT_EQ(ask(1)->identity, "unit 1; it refuses to read holding 0");
  EXPECT_EQ(ask(2).error().code, Errc::timed_out);
}

TEST_F(ModbusProbeTest, is_not_taken_in_by_what_is_no_frame) {
  const auto text = std::move(*links.make(fake, {}));
  ASSERT_TRUE(run(text->open(clock.now() + Second(1.0))));
  const ModbusProbe step(false, 1);
  std::optional<Result<WhoAnswered>> result;
  const Job job(clock.loop(), keep(step.ask(*text, clock), result));
  clock.run_for(Second(0.2));
  ASSERT_TRUE(run(text->write("\n*IDN?\n", clock.now() + Second(1.0))));
  clock.run_for(Second(2.0));
  ASSERT_TRUE(result);
  ASSERT_FALSE(*result);
  EXPECT_EQ(result->error().code, Errc::garbled);
}

TEST_F(ModbusProbeTest, holds_a_unit_against_its_profile) {
  const Profile profile = shipped_profile("simulated_modbus_charger");
  const auto report = look(modbus_charger, &profile);
  ASSERT_TRUE(report) << report.error().line();
  EXPECT_TRUE(report->is_right()) << show_probe(*report);
  EXPECT_EQ(report->protocol, "Modbus");
  EXPECT_EQ(report->identity, "unit 1; read input 0, 3 words is 0x4C57 0x0001 0x0001");
  EXPECT_THAT(texts(*report, Verdict::right), Contains(HasSubstr("sample: 0.000 V, 0.000 A")));
  EXPECT_THAT(texts(*report, Verdict::notice),
              AllOf(Contains(HasSubstr("heartbeat: armed: it switches off by itself 5000 ms")),
                    Contains(HasSubstr("simulated"))));
  EXPECT_EQ(report->latency->count, 20U);
}

TEST_F(ModbusProbeTest, sets_each_setting_to_what_it_is_with_the_output_off) {
  const Profile profile = shipped_profile("simulated_modbus_charger");
  bench_command(*modbus_bench, "plug charge-1 cell:sound,charged=0.5");
  Instrument before("before", std::move(*links.make(modbus_charger, {})), profile, clock, clock);
  ASSERT_TRUE(run(before.connect()));
  ASSERT_TRUE(run(before.set_volts(Volt(14.4))));
  ASSERT_TRUE(run(before.trip_volts(Volt(15.0))));
  ASSERT_TRUE(run(before.limit_amps(Ampere(5.0))));
  ASSERT_TRUE(run(before.enable(true)));
  EXPECT_TRUE(charge_flows());
  before.close();
  const auto report = look(modbus_charger, &profile, 1, true);
  ASSERT_TRUE(report) << report.error().line();
  EXPECT_TRUE(report->is_right()) << show_probe(*report);
  EXPECT_THAT(texts(*report, Verdict::right), AllOf(Contains(HasSubstr("set_volts: 14.400 V, as before")),
                                                    Contains(HasSubstr("limit_amps: 0.000 A, as before")),
                                                    Contains(HasSubstr("trip_volts: 15.000 V, as before"))));
  EXPECT_FALSE(charge_flows());
}

TEST_F(ModbusProbeTest, looks_at_the_inputs_of_a_box_and_lets_every_output_fall_off) {
  Profile profile = shipped_profile("generic_modbus_relay");
  profile.link.allowed.push_back(LinkAddress::Kind::memory);
  units.units[3].coils[2] = true;
  units.units[3].answer_after = Second(0.01);
  const auto report = look(units_line, &profile, 3);
  ASSERT_TRUE(report) << report.error().line();
  EXPECT_TRUE(report->is_right()) << show_probe(*report);
  EXPECT_THAT(texts(*report, Verdict::right), AllOf(Contains("sample: inputs 0 to 7 are 0 0 0 0 0 0 0 0"),
                                                    Contains(HasSubstr("latency: p50 10.0 ms"))));
  EXPECT_FALSE(units.units[3].coils[2]);
  EXPECT_THAT(report->unproved, Contains(HasSubstr("outputs:")));
}

TEST_F(ModbusProbeTest, writes_only_the_safe_state_and_the_heartbeat_unless_told_to_try_settings) {
  Profile profile = shipped_profile("generic_modbus_charger");
  profile.link.allowed.push_back(LinkAddress::Kind::memory);
  units.units[1].input = {{0, 0x1234}, {1, 1}, {100, 0x4146}};
  units.units[1].coils[0] = true;
  units.units[1].holding = {{10, 1440}, {11, 900}};
  const auto report = look(units_line, &profile);
  ASSERT_TRUE(report) << report.error().line();
  EXPECT_FALSE(units.units[1].coils[0]);
  EXPECT_EQ(units.units[1].holding[10], 1440);
  for (const FakeModbusLine::Heard& heard : units.heard) {
    if (heard.pdu[0] <= 4) continue;
    EXPECT_THAT(describe_modbus(heard.pdu),
                AnyOf(HasSubstr("coil 0"), HasSubstr("holding 11"), HasSubstr("holding 20")));
  }
}

TEST_F(ModbusProbeTest, names_another_unit_and_a_silent_one) {
  const Profile profile = shipped_profile("simulated_modbus_charger");
  const auto other = look({LinkAddress::Kind::memory, "charge-1.thermometer"}, &profile);
  ASSERT_FALSE(other);
  EXPECT_EQ(other.error().code, Errc::conflict);
  bench_command(*modbus_bench, "fault charge-1.charger no_answer on");
  const auto silent = look(modbus_charger, &profile);
  ASSERT_FALSE(silent);
  EXPECT_EQ(silent.error().code, Errc::timed_out);
}

TEST_F(ModbusProbeTest, says_that_the_other_protocol_answers) {
  const Profile modbus = shipped_profile("simulated_modbus_charger");
  const auto text = look(load, &modbus);
  ASSERT_FALSE(text);
  EXPECT_EQ(text.error().code, Errc::conflict);
  EXPECT_THAT(text.error().what, AllOf(HasSubstr("simulated load"), HasSubstr("(SCPI)")));
  const Profile scpi = shipped_profile("simulated_charger");
  const auto unit = look(modbus_charger, &scpi);
  ASSERT_FALSE(unit);
  EXPECT_EQ(unit.error().code, Errc::conflict);
  EXPECT_THAT(unit.error().what, HasSubstr("(Modbus)"));
}

TEST(ProbeSteps, ask_in_the_likeliest_order_for_the_link) {
  const auto questions = [](LinkAddress::Kind kind, const char* target) {
    std::vector<std::string> found;
    for (const auto& step : probe_steps({kind, target}, 3)) found.push_back(step->question());
    return found;
  };
  const std::string modbus = "read holding 0, 1 word of unit 3";
  EXPECT_THAT(questions(LinkAddress::Kind::serial, "/dev/x"), testing::ElementsAre("*IDN?", modbus));
  EXPECT_THAT(questions(LinkAddress::Kind::tcp, "192.0.2.7:5025"), testing::ElementsAre("*IDN?", modbus));
  EXPECT_THAT(questions(LinkAddress::Kind::tcp, "192.0.2.7:502"), testing::ElementsAre(modbus, "*IDN?"));
  EXPECT_THAT(questions(LinkAddress::Kind::usbtmc, "/dev/x"), testing::ElementsAre("*IDN?"));
}

TEST(ProfileQuestionsCheck, takes_every_shipped_profile) {
  for (const char* name :
       {"generic_scpi_load", "generic_scpi_charger", "generic_scpi_thermometer", "simulated_load",
        "simulated_charger", "simulated_thermometer", "generic_modbus_charger", "generic_modbus_thermometer",
        "generic_modbus_relay", "simulated_modbus_load"}) {
    const auto checked = check_questions(shipped_profile(name));
    EXPECT_TRUE(checked) << name << ": " << checked.error().line();
  }
}

TEST(ProfileQuestionsCheck, refuses_a_write_in_place_of_a_read) {
  Profile profile = shipped_profile("generic_modbus_charger");
  profile.sample_ask = profile.safe.commands.front();
  const auto checked = check_questions(profile);
  ASSERT_FALSE(checked);
  EXPECT_EQ(checked.error().code, Errc::refused);
}

}  // namespace
}  // namespace leadwright
