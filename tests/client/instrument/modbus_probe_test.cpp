// SPDX-License-Identifier: Apache-2.0
// The probe on a line of Modbus units: who is there, what its profile says, and what goes out.
#include <gmock/gmock.h>

#include "sim_lines.h"
#include "tests/drivers/fake_modbus.h"
#include "tools/client/instrument/probe.h"
#include "tools/client/instrument/probe_step.h"
#include "tools/client/instrument/profile_questions.h"

namespace leadwright {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::Each;
using testing::HasSubstr;
using Verdict = ProbeFinding::Verdict;

Profile memory_profile(const std::string& name) {
  Profile profile = profile_of(name);
  profile.link.allowed.push_back(LinkAddress::Kind::memory);
  return profile;
}

struct ModbusProbeTest : SimLines {
  FakeModbusLine units;
  const LinkAddress line{LinkAddress::Kind::memory, "units"};

  void SetUp() override {
    SimLines::SetUp();
    links.add("units", units);
    // The registers that config/profiles/generic_modbus_*.toml invent.
    units.units[1].input = {{0, 0x1234}, {1, 1}, {100, 0x4146}, {101, 0}, {102, 0}, {103, 0}};
    units.units[3].input = {{0, 0x1234}, {1, 3}};
    for (auto& [number, unit] : units.units) unit.answer_after = Second(0.01);
  }

  Result<ProbeReport> look(const Profile* profile, int unit, bool settings = false) {
    ProbeOrder order{line, {SerialSettings{}}, profile, 20, settings, unit};
    return run(probe(std::move(order), links, clock, [](const std::string&) {}));
  }
  std::vector<int> functions() const {
    std::vector<int> found;
    for (const FakeModbusLine::Heard& heard : units.heard) found.push_back(heard.pdu[0]);
    return found;
  }
};

std::vector<std::string> texts(const ProbeReport& report, Verdict verdict) {
  std::vector<std::string> lines;
  for (const ProbeFinding& finding : report.findings) {
    if (finding.verdict == verdict) lines.push_back(finding.subject + ": " + finding.text);
  }
  return lines;
}

TEST_F(ModbusProbeTest, finds_a_unit_without_a_profile_by_reading_one_register) {
  units.units[1].holding[0] = 0xBEEF;
  const auto report = look(nullptr, 1);
  ASSERT_TRUE(report) << report.error().line();
  EXPECT_EQ(report->protocol, "Modbus");
  EXPECT_EQ(report->identity, "unit 1; holding 0 is 0xBEEF");
  EXPECT_THAT(functions(), testing::ElementsAre(3));
}

TEST_F(ModbusProbeTest, takes_an_exception_for_an_answer) {
  units.units[1].exception = 2;
  const auto report = look(nullptr, 1);
  ASSERT_TRUE(report) << report.error().line();
  EXPECT_EQ(report->identity, "unit 1; it refuses to read holding 0");
}

TEST_F(ModbusProbeTest, hears_nothing_from_a_unit_that_is_not_there) {
  const auto report = look(nullptr, 9);
  ASSERT_FALSE(report);
  EXPECT_EQ(report.error().code, Errc::timed_out);
}

TEST_F(ModbusProbeTest, holds_a_unit_against_its_profile) {
  const Profile profile = memory_profile("generic_modbus_charger");
  const auto report = look(&profile, 1);
  ASSERT_TRUE(report) << report.error().line();
  EXPECT_TRUE(report->is_right()) << show_probe(*report);
  EXPECT_EQ(report->protocol, "Modbus");
  EXPECT_EQ(report->identity, "unit 1; read input 0, 2 words is 0x1234 0x0001");
  EXPECT_THAT(texts(*report, Verdict::right),
              AllOf(Contains("sample: 12.375 V, 0.000 A"), Contains(HasSubstr("latency: p50 10.0 ms"))));
  EXPECT_THAT(texts(*report, Verdict::notice), Contains(HasSubstr("heartbeat: armed")));
}

TEST_F(ModbusProbeTest, writes_only_the_safe_state_and_the_heartbeat_unless_told_to_try_settings) {
  const Profile profile = memory_profile("generic_modbus_charger");
  units.units[1].coils[0] = true;
  units.units[1].holding = {{10, 1440}, {11, 900}};
  ASSERT_TRUE(look(&profile, 1));
  EXPECT_FALSE(units.units[1].coils[0]);
  EXPECT_EQ(units.units[1].holding[10], 1440);
  EXPECT_EQ(units.units[1].holding[11], 0);
  for (const FakeModbusLine::Heard& heard : units.heard) {
    if (heard.pdu[0] <= 4) continue;
    const std::string shown = describe_modbus(heard.pdu);
    EXPECT_THAT(shown, testing::AnyOf(HasSubstr("coil 0"), HasSubstr("holding 11"), HasSubstr("holding 20")))
        << shown;
  }
}

TEST_F(ModbusProbeTest, sets_each_setting_to_what_it_is) {
  const Profile profile = memory_profile("generic_modbus_charger");
  units.units[1].holding = {{10, 1440}, {11, 900}};
  const auto report = look(&profile, 1, true);
  ASSERT_TRUE(report) << report.error().line();
  EXPECT_TRUE(report->is_right()) << show_probe(*report);
  EXPECT_THAT(texts(*report, Verdict::right), Contains(HasSubstr("set_volts: 14.400 V, as before")));
  EXPECT_EQ(units.units[1].holding[10], 1440);
  EXPECT_FALSE(units.units[1].coils[0]);
}

TEST_F(ModbusProbeTest, looks_at_the_inputs_of_a_box) {
  const Profile profile = memory_profile("generic_modbus_relay");
  units.units[3].coils[2] = true;
  const auto report = look(&profile, 3);
  ASSERT_TRUE(report) << report.error().line();
  EXPECT_TRUE(report->is_right()) << show_probe(*report);
  EXPECT_THAT(texts(*report, Verdict::right), Contains("sample: inputs 0 to 7 are 0 0 0 0 0 0 0 0"));
  EXPECT_FALSE(units.units[3].coils[2]) << "every output falls off";
  EXPECT_THAT(report->unproved, Contains(HasSubstr("outputs:")));
}

TEST_F(ModbusProbeTest, names_another_unit_and_a_silent_one) {
  const Profile profile = memory_profile("generic_modbus_charger");
  const auto other = look(&profile, 3);
  ASSERT_FALSE(other);
  EXPECT_EQ(other.error().code, Errc::conflict);
  units.units[1].is_mute = true;
  const auto silent = look(&profile, 1);
  ASSERT_FALSE(silent);
  EXPECT_EQ(silent.error().code, Errc::timed_out);
}

TEST_F(ModbusProbeTest, says_that_a_text_instrument_answers_where_a_unit_is_expected) {
  const Profile profile = memory_profile("generic_modbus_charger");
  ProbeOrder order{load, {SerialSettings{}}, &profile, 5, false, {}};
  const auto report = run(probe(std::move(order), links, clock, [](const std::string&) {}));
  ASSERT_FALSE(report);
  EXPECT_EQ(report.error().code, Errc::conflict);
  EXPECT_THAT(report.error().what, AllOf(HasSubstr("simulated load"), HasSubstr("(SCPI)")));
}

TEST_F(ModbusProbeTest, says_that_a_unit_answers_where_a_text_instrument_is_expected) {
  Profile profile = memory_profile("simulated_load");
  ProbeOrder order{line, {SerialSettings{}}, &profile, 5, false, 1};
  const auto report = run(probe(std::move(order), links, clock, [](const std::string&) {}));
  ASSERT_FALSE(report);
  EXPECT_EQ(report.error().code, Errc::conflict);
  EXPECT_THAT(report.error().what, HasSubstr("(Modbus)"));
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
  for (const char* name : {"generic_scpi_load", "generic_scpi_charger", "generic_scpi_thermometer",
                           "simulated_load", "simulated_charger", "simulated_thermometer",
                           "generic_modbus_charger", "generic_modbus_thermometer", "generic_modbus_relay"}) {
    const auto checked = check_questions(profile_of(name));
    EXPECT_TRUE(checked) << name << ": " << checked.error().line();
  }
}

TEST(ProfileQuestionsCheck, refuses_a_write_in_place_of_a_read) {
  Profile profile = profile_of("generic_modbus_charger");
  profile.sample_ask = profile.safe.commands.front();
  const auto checked = check_questions(profile);
  ASSERT_FALSE(checked);
  EXPECT_EQ(checked.error().code, Errc::refused);
}

}  // namespace
}  // namespace leadwright
