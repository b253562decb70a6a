// SPDX-License-Identifier: Apache-2.0
// The probe against simulated instruments: what it finds, what it says, and above all what it sends.
#include "tools/client/instrument/probe.h"

#include <gmock/gmock.h>

#include <algorithm>

#include "report_texts.h"
#include "sim_lines.h"

namespace leadwright {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::Each;
using testing::HasSubstr;
using testing::Not;

struct Probe : SimLines {
  std::vector<std::string> said;

  Result<ProbeReport> look(const LinkAddress& address, const Profile* profile = nullptr,
                           bool settings = false, int samples = 10) {
    said.clear();
    ProbeOrder order{address, {SerialSettings{}}, profile, samples, settings, {}};
    return run(
        probe(std::move(order), links, clock, [this](const std::string& line) { said.push_back(line); }));
  }
  /// What went out to the instrument, without what came in.
  std::vector<std::string> sent() const {
    std::vector<std::string> lines;
    std::ranges::copy_if(said, std::back_inserter(lines),
                         [](const std::string& line) { return line.find(" >  ") != std::string::npos; });
    return lines;
  }
};

TEST_F(Probe, without_a_profile_only_asks_who_is_there) {
  const auto report = look(load);
  ASSERT_TRUE(report) << report.error().line();
  EXPECT_EQ(report->protocol, "SCPI");
  EXPECT_EQ(report->identity, "Leadwright,simulated load,bay-1.load,sim-1");
  EXPECT_TRUE(report->is_right());
  EXPECT_THAT(sent(), testing::ElementsAre(HasSubstr(">  *IDN?\\n")));
}

TEST_F(Probe, without_a_profile_carries_out_nothing_that_was_left_half_sent) {
  tell_bench("plug bay-1 cell:sound,charged=1");
  std::string none;
  bench.instrument("bay-1.load")->exchange("CURR 5;:INP ON", none);
  ASSERT_TRUE(look(load));
  EXPECT_EQ(ask_directly("bay-1.load", "INP?"), "0\n");
}

TEST_F(Probe, finds_a_simulated_load_as_its_profile_says) {
  tell_bench("plug bay-1 cell:sound,charged=1");
  const Profile profile = shipped_profile("simulated_load");
  const auto report = look(load, &profile);
  ASSERT_TRUE(report) << report.error().line();
  EXPECT_TRUE(report->is_right()) << show_probe(*report);
  EXPECT_THAT(texts(*report, Verdict::right),
              AllOf(Contains("identity: matches the profile \"simulated load\""),
                    Contains("safe state: off, and read back as off: INP? answers 0"),
                    Contains("error queue: empty at the start"), Contains("sample: 12.660 V, 0.000 A"),
                    Contains("faults: its own protection reports none")));
  EXPECT_THAT(texts(*report, Verdict::notice), Contains("identity: it says of itself that it is simulated"));
  EXPECT_EQ(report->reading->volts, Volt(12.66));
}

TEST_F(Probe, measures_the_round_trip_on_the_machines_clock_and_proposes_a_timeout) {
  const Profile profile = shipped_profile("simulated_load");
  const auto report = look(load, &profile, false, 100);
  ASSERT_TRUE(report && report->latency);
  EXPECT_EQ(report->latency->count, 100U);
  EXPECT_NEAR(report->latency->p99.si(), 0.004, 1e-6);
  EXPECT_THAT(texts(*report, Verdict::right),
              Contains("time-out: proposed is timeout_ms = 50 (3 x p99, at least 50); the profile says 300"));
}

TEST_F(Probe, calls_a_timeout_wrong_that_is_below_three_times_the_round_trip) {
  Profile profile = shipped_profile("simulated_load");
  profile.link.timeout = Second(0.2);
  profile.stale = Second(0.6);
  for (const char* question : {"MEAS:VOLT?;:MEAS:CURR?"}) device.answer_delays[question] = Second(0.15);
  profile.safe.proof.reset();
  device.answers["INP:CUT:TRIP?;:CURR:PROT:TRIP?;:VOLT:PROT:TRIP?"] = "0;0;0";
  const auto report = look(fake, &profile);
  ASSERT_TRUE(report) << report.error().line();
  EXPECT_FALSE(report->is_right());
  EXPECT_THAT(texts(*report, Verdict::wrong),
              Contains(AllOf(HasSubstr("timeout_ms = 450"), HasSubstr("says 200"),
                             HasSubstr("stale_ms must be at least 1350"))));
}

TEST_F(Probe, never_sends_what_could_energise) {
  const Profile profile = shipped_profile("simulated_load");
  for (const bool settings : {false, true}) {
    const auto report = look(load, &profile, settings);
    ASSERT_TRUE(report) << report.error().line();
    EXPECT_THAT(sent(), Each(Not(AllOf(HasSubstr("INP"), HasSubstr("ON")))));
    EXPECT_EQ(ask_directly("bay-1.load", "INP?;:CURR?"), "0;0.000\n");
  }
}

TEST_F(Probe, sends_no_setting_unless_it_was_told_to) {
  const Profile profile = shipped_profile("simulated_charger");
  ASSERT_TRUE(look(charger, &profile));
  EXPECT_THAT(sent(), Each(Not(HasSubstr("VOLT 0"))));
  EXPECT_THAT(sent(), Each(Not(HasSubstr("PROT 0"))));
  EXPECT_THAT(look(charger, &profile)->unproved, Contains(HasSubstr("--settings")));
}

TEST_F(Probe, sets_each_setting_to_what_it_is_with_the_output_off) {
  ask_directly("bay-1.charger", "VOLT 14.4;:VOLT:PROT 15;:CURR 9;:OUTP ON");
  const Profile profile = shipped_profile("simulated_charger");
  const auto report = look(charger, &profile, true);
  ASSERT_TRUE(report) << report.error().line();
  EXPECT_TRUE(report->is_right()) << show_probe(*report);
  EXPECT_THAT(texts(*report, Verdict::right),
              AllOf(Contains("set_volts: 14.400 V, as before, set and read back"),
                    Contains("limit_amps: 0.000 A, as before, set and read back"),
                    Contains("trip_volts: 15.000 V, as before, set and read back")));
  EXPECT_EQ(ask_directly("bay-1.charger", "VOLT?;:VOLT:PROT?;:OUTP?"), "14.400;15.000;0\n");
}

TEST_F(Probe, says_which_setting_does_not_read_back) {
  Profile profile = shipped_profile("simulated_load");
  device.is_on = false;
  device.answers["CURR?"] = "3.000";
  device.answers["INP:CUT:TRIP?;:CURR:PROT:TRIP?;:VOLT:PROT:TRIP?"] = "0;0;0";
  device.answers["CURR 3.000"] = "";
  profile.settings.resize(1);
  device.answers["CURR?"] = "nonsense";
  const auto report = look(fake, &profile, true);
  ASSERT_TRUE(report) << report.error().line();
  EXPECT_THAT(texts(*report, Verdict::wrong),
              Contains(HasSubstr("set_amps: CURR? answers nonsense where 0.000 is expected")));
}

TEST_F(Probe, switches_off_first_an_instrument_that_was_left_on) {
  tell_bench("plug bay-1 cell:sound,charged=1");
  ask_directly("bay-1.load", "CURR 5;:INP ON");
  ASSERT_EQ(ask_directly("bay-1.load", "INP?"), "1\n");
  const Profile profile = shipped_profile("simulated_load");
  ASSERT_TRUE(look(load, &profile));
  EXPECT_THAT(sent().at(1), HasSubstr("INP OFF\\nCURR 0"));
  EXPECT_THAT(said.front(), HasSubstr("first go its words for the safe state: INP OFF, CURR 0"));
  EXPECT_EQ(ask_directly("bay-1.load", "INP?"), "0\n");
}

TEST_F(Probe, fails_when_off_cannot_be_read_back) {
  tell_bench("plug bay-1 cell:sound,charged=1");
  ask_directly("bay-1.load", "CURR 5;:INP ON");
  tell_bench("fault bay-1.load ignores_off on");
  const Profile profile = shipped_profile("simulated_load");
  const auto report = look(load, &profile);
  ASSERT_FALSE(report);
  EXPECT_EQ(report.error().code, Errc::not_verified);
  EXPECT_THAT(report.error().mend, HasSubstr("by hand"));
}

TEST_F(Probe, names_the_other_instrument_that_answers) {
  const Profile profile = shipped_profile("simulated_load");
  const auto report = look(charger, &profile);
  ASSERT_FALSE(report);
  EXPECT_EQ(report.error().code, Errc::conflict);
  EXPECT_THAT(report.error().what, HasSubstr("simulated charger"));
  EXPECT_THAT(report.error().where, HasSubstr("bay-1.charger"));
}

TEST_F(Probe, says_that_nothing_answers_with_and_without_a_profile) {
  tell_bench("fault bay-1.load no_answer on");
  const Profile profile = shipped_profile("simulated_load");
  for (const Profile* given : {static_cast<const Profile*>(nullptr), &profile}) {
    const auto report = look(load, given);
    ASSERT_FALSE(report);
    EXPECT_EQ(report.error().code, Errc::timed_out);
    EXPECT_THAT(report.error().what, HasSubstr("nothing answers"));
  }
}

TEST_F(Probe, finds_an_instrument_that_is_slow_to_start_and_says_what_its_profile_lacks) {
  // Deaf for its first six messages, as an instrument is that opening the port resets.
  Profile profile = shipped_profile("simulated_load");
  device.swallowed["*IDN?"] = 4;
  const auto report = look(fake, &profile);
  ASSERT_FALSE(report);
  EXPECT_THAT(report.error().mend, HasSubstr("boot_ms"));
  device.swallowed["*IDN?"] = 1;
  EXPECT_TRUE(look(fake)) << "without a profile it is asked twice";
}

TEST_F(Probe, shows_what_the_error_queue_held) {
  device.is_on = false;
  device.errors = "-113,\"Undefined header\"";
  device.answers["INP:CUT:TRIP?;:CURR:PROT:TRIP?;:VOLT:PROT:TRIP?"] = "0;0;0";
  const Profile profile = shipped_profile("simulated_load");
  const auto report = look(fake, &profile);
  ASSERT_TRUE(report) << report.error().line();
  EXPECT_THAT(texts(*report, Verdict::notice), Contains(HasSubstr("-113,\"Undefined header\"")));
  EXPECT_THAT(texts(*report, Verdict::right),
              Contains("error queue: empty after the questions of the profile"));
}

TEST_F(Probe, calls_questions_wrong_that_leave_errors) {
  device.is_on = false;
  device.answers["SYST:ERR?"] = "-113,\"Undefined header\"";
  device.answers["INP:CUT:TRIP?;:CURR:PROT:TRIP?;:VOLT:PROT:TRIP?"] = "0;0;0";
  const Profile profile = shipped_profile("simulated_load");
  const auto report = look(fake, &profile);
  ASSERT_TRUE(report) << report.error().line();
  EXPECT_THAT(texts(*report, Verdict::wrong), Contains(HasSubstr("the profile's questions left: -113")));
}

TEST_F(Probe, says_when_an_instrument_could_not_measure) {
  device.is_on = false;
  Profile profile = shipped_profile("simulated_load");
  profile.safe.proof.reset();
  device.answers["MEAS:VOLT?;:MEAS:CURR?"] = "9.9E37;0.000";
  device.answers["INP:CUT:TRIP?;:CURR:PROT:TRIP?;:VOLT:PROT:TRIP?"] = "1;0;0";
  const auto report = look(fake, &profile);
  ASSERT_TRUE(report) << report.error().line();
  EXPECT_THAT(texts(*report, Verdict::notice),
              AllOf(Contains(HasSubstr("no volts, 0.000 A: it says that it could not measure")),
                    Contains("faults: its own protection reports: low-voltage cut-off")));
  EXPECT_THAT(probe_json(*report), HasSubstr("\"volts_v\":null"));
}

TEST_F(Probe, stops_asking_for_samples_that_never_come) {
  device.is_on = false;
  Profile profile = shipped_profile("simulated_load");
  profile.safe.proof.reset();
  device.answers["MEAS:VOLT?;:MEAS:CURR?"] = "12.6";
  device.answers["INP:CUT:TRIP?;:CURR:PROT:TRIP?;:VOLT:PROT:TRIP?"] = "0;0;0";
  const auto report = look(fake, &profile, false, 1000);
  ASSERT_TRUE(report) << report.error().line();
  EXPECT_FALSE(report->is_right());
  EXPECT_THAT(texts(*report, Verdict::wrong),
              AllOf(Contains(HasSubstr("wrong number of fields")), Contains("sample: 5 of 5 failed")));
  EXPECT_FALSE(report->latency);
}

TEST_F(Probe, refuses_a_profile_whose_questions_do_more_than_ask) {
  Profile profile = shipped_profile("simulated_load");
  profile.sample_ask = "INP ON;:MEAS:VOLT?;:MEAS:CURR?";
  const auto report = look(load, &profile);
  ASSERT_FALSE(report);
  EXPECT_EQ(report.error().code, Errc::refused);
  EXPECT_THAT(report.error().what, HasSubstr("INP ON"));
  EXPECT_TRUE(said.empty()) << "nothing may be opened";
  profile = shipped_profile("simulated_load");
  profile.errors.fence = "CURR {n};*ESE?";
  EXPECT_EQ(look(load, &profile).error().code, Errc::refused);
}

TEST_F(Probe, refuses_a_kind_of_link_that_the_profile_does_not_allow) {
  const Profile profile = shipped_profile("generic_scpi_load");
  const auto report = look(load, &profile);
  ASSERT_FALSE(report);
  EXPECT_EQ(report.error().code, Errc::bad_input);
  EXPECT_THAT(report.error().mend, HasSubstr("link.allow"));
}

TEST_F(Probe, warns_of_a_pattern_that_takes_anything) {
  Profile profile = shipped_profile("generic_scpi_load");
  profile.link.allowed.push_back(LinkAddress::Kind::memory);
  const auto report = look(load, &profile);
  ASSERT_TRUE(report) << report.error().line();
  EXPECT_THAT(texts(*report, Verdict::notice), Contains(HasSubstr("narrow identity.match")));
}

TEST_F(Probe, reads_a_thermometer) {
  const Profile profile = shipped_profile("simulated_thermometer");
  const auto report = look({LinkAddress::Kind::memory, "bay-1.thermometer"}, &profile, true);
  ASSERT_TRUE(report) << report.error().line();
  EXPECT_THAT(texts(*report, Verdict::right), Contains("sample: 25.00 degC"));
  EXPECT_THAT(report->unproved, Each(Not(HasSubstr("mains"))));
}

TEST_F(Probe, shows_the_first_exchanges_of_a_long_series_only) {
  const Profile profile = shipped_profile("simulated_load");
  ASSERT_TRUE(look(load, &profile, false, 100));
  EXPECT_LT(sent().size(), 20U);
  EXPECT_THAT(said, Contains(HasSubstr("the same, 194 pieces more")));
}

TEST_F(Probe, says_what_it_could_not_prove) {
  const Profile profile = shipped_profile("simulated_load");
  const auto report = look(load, &profile);
  ASSERT_TRUE(report);
  EXPECT_THAT(report->unproved, AllOf(Contains(HasSubstr("following")), Contains(HasSubstr("cut-off")),
                                      Contains(HasSubstr("mains")), Contains(HasSubstr("accuracy"))));
  EXPECT_THAT(show_probe(*report), HasSubstr("Not proved:\n"));
}

TEST_F(Probe, becomes_json_with_units_in_its_keys) {
  const Profile profile = shipped_profile("simulated_load");
  const auto report = look(load, &profile);
  ASSERT_TRUE(report);
  const std::string json = probe_json(*report);
  for (const char* part : {R"("is_right":true)", R"("volts_v":0)", R"("p99_ms":4E0)",
                           R"("proposed_timeout_ms":5E1)", R"("subject":"identity","verdict":"right")"}) {
    EXPECT_THAT(json, HasSubstr(part));
  }
}

TEST_F(Probe, ends_when_the_cable_is_pulled) {
  FaultPlan plan;
  plan.seed = 7;
  plan.unplug = 0.05;
  bench.add_to(links, plan);
  const Profile profile = shipped_profile("simulated_load");
  const auto report = look(load, &profile, false, 1000);
  ASSERT_FALSE(report);
  EXPECT_EQ(report.error().code, Errc::link_lost) << report.error().line();
}

}  // namespace
}  // namespace leadwright
