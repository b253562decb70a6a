// SPDX-License-Identifier: Apache-2.0
// What leadwright.toml says of the room and of whom to call: [alarm], airflow_m3_per_h. Their effect:
// tests/queue/alarm_calls_test.cpp, tests/world/air_test.cpp.
#include "settings_fixture.h"

namespace leadwright {
namespace {

using ::testing::AllOf;
using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

class PrecautionsTest : public SettingsTest {
 protected:
  void SetUp() override {
    SettingsTest::SetUp();
    std::ofstream(program()) << "#!/bin/sh\n";
    std::filesystem::permissions(program(), std::filesystem::perms::owner_all);
  }
  std::string program() const { return (folder_ / "call").string(); }
  static std::string with_alarm(const std::string& lines) {
    return std::string(good_settings) + "[alarm]\n" + lines;
  }
  std::string command() const { return "command = [\"" + program() + "\", \"--loud\"]\n"; }
  std::vector<std::string> mistakes_with_air(const std::string& value) const {
    return mistakes_with("prefix", "airflow_m3_per_h = " + value + "\nprefix");
  }
};

TEST_F(PrecautionsTest, nobody_is_called_and_no_airflow_is_known_unless_the_file_says_so) {
  const Settings settings = read(good_settings);
  EXPECT_THAT(settings.alarm.command, IsEmpty());
  EXPECT_THAT(settings.alarm.second_command, IsEmpty());
  EXPECT_EQ(settings.alarm.repeat, minutes(5.0));
  EXPECT_EQ(settings.alarm.escalate_after, 3);
  EXPECT_FALSE(settings.precautions.airflow);
}

TEST_F(PrecautionsTest, reads_below_which_weight_a_battery_is_held_and_lets_a_later_file_replace_a_size) {
  EXPECT_EQ(read(good_settings).precautions.weight.least_kg_per_ah, 0.18);
  write(std::string(good_settings) +
        "[weight]\nleast_kg_per_ah = 0.2\n[weight.least_kg]\nL2 = 11\nL3 = 13.5\n");
  write("schema = 1\n[weight.least_kg]\nL3 = 14\n", "conf.d/own.toml");
  const auto settings = read_installed_settings(folder_.string());
  ASSERT_TRUE(settings) << settings.error().front().line();
  const WeightLimits& weight = settings->precautions.weight;
  EXPECT_EQ(weight.least_kg_per_ah, 0.2);
  EXPECT_THAT(weight.least_by_size, ElementsAre(std::pair("L2", 11.0), std::pair("L3", 14.0)));
}

TEST_F(PrecautionsTest, refuses_a_weight_that_would_hold_every_battery_or_none_that_is_weighed) {
  const auto with = [](const std::string& lines) {
    return std::string(good_settings) + "[weight]\n" + lines;
  };
  EXPECT_THAT(mistakes(with("least_kg_per_ah = 0.3\n")), ElementsAre(HasSubstr("0 to 0.25")));
  EXPECT_THAT(mistakes(with("[weight.least_kg]\nL2 = 0\n")), ElementsAre(HasSubstr("above 0")));
  EXPECT_THAT(mistakes(with("[weight.least_kg]\nL2 = \"heavy\"\n")), Contains(HasSubstr("L2")));
  EXPECT_THAT(mistakes(with("least_kg = 12\n")), Contains(HasSubstr("least_kg")));
  EXPECT_THAT(mistakes(with("least_kg_per_a = 0.1\n")), ElementsAre(HasSubstr("least_kg_per_ah")));
}

TEST_F(PrecautionsTest, reads_whom_to_call_how_often_and_who_comes_next) {
  const Settings settings = read(with_alarm(command() + "second_command = [\"" + program() +
                                            "\"]\nrepeat_s = 10\nescalate_after = 100\n"));
  EXPECT_THAT(settings.alarm.command, ElementsAre(program(), "--loud"));
  EXPECT_THAT(settings.alarm.second_command, ElementsAre(program()));
  EXPECT_EQ(settings.alarm.repeat, Second(10.0));
  EXPECT_EQ(settings.alarm.escalate_after, 100);
}

TEST_F(PrecautionsTest, a_command_is_a_program_that_is_there_by_its_whole_path) {
  for (const char* word : {"call", "", "/nowhere/call", "/tmp"}) {
    EXPECT_THAT(
        mistakes(with_alarm(std::string("command = [\"") + word + "\"]\n")),
        ElementsAre(AllOf(HasSubstr("leadwright.toml:17:11"), HasSubstr("is no program by its whole path"),
                          HasSubstr("/usr/local/bin/call-somebody"))))
        << word;
  }
  std::filesystem::permissions(program(), std::filesystem::perms::owner_read);
  EXPECT_THAT(mistakes(with_alarm(command())), ElementsAre(HasSubstr("can't be executed")));
}

TEST_F(PrecautionsTest, a_second_to_call_needs_a_first) {
  EXPECT_THAT(mistakes(with_alarm("second_command = [\"" + program() + "\"]\n")),
              ElementsAre(AllOf(HasSubstr("leadwright.toml:17"), HasSubstr("nobody is called first"))));
}

TEST_F(PrecautionsTest, calls_are_repeated_neither_at_once_nor_never) {
  for (const char* value : {"9.9", "86401", "-1", "0"}) {
    EXPECT_THAT(mistakes(with_alarm(command() + "repeat_s = " + value + "\n")),
                ElementsAre(AllOf(HasSubstr("leadwright.toml:18:12"), HasSubstr("10 to 86400"))))
        << value;
  }
  EXPECT_THAT(mistakes(with_alarm(command() + "repeat_s = \"5 min\"\n")),
              ElementsAre(HasSubstr("leadwright.toml:18:12")));
  EXPECT_THAT(mistakes(with_alarm(command() + "repeat_s = 86400\n")), IsEmpty());
}

TEST_F(PrecautionsTest, somebody_else_is_called_after_one_to_a_hundred_calls) {
  for (const char* value : {"0", "101", "-3", "4294967297"}) {
    EXPECT_THAT(mistakes(with_alarm(command() + "escalate_after = " + value + "\n")),
                ElementsAre(AllOf(HasSubstr("leadwright.toml:18:18"), HasSubstr("1 to 100"))))
        << value;
  }
  EXPECT_THAT(mistakes(with_alarm(command() + "escalate_after = 1.5\n")),
              ElementsAre(HasSubstr("leadwright.toml:18:18")));
}

TEST_F(PrecautionsTest, an_unknown_key_of_the_alarm_has_its_near_match) {
  EXPECT_THAT(mistakes(with_alarm(command() + "repeat = 60\n")),
              ElementsAre(AllOf(HasSubstr("leadwright.toml:18:1"), HasSubstr("did you mean `repeat_s`?"))));
}

TEST_F(PrecautionsTest, reads_the_airflow_in_cubic_metres_an_hour) {
  std::string text = good_settings;
  text.insert(text.find("prefix"), "airflow_m3_per_h = 0.5\n");
  EXPECT_EQ(read(text).precautions.airflow, Airflow{0.5});
  EXPECT_THAT(mistakes_with_air("100000"), IsEmpty());
}

TEST_F(PrecautionsTest, an_airflow_is_above_nothing_and_below_what_no_fan_moves) {
  for (const char* value : {"0", "-60", "100001"}) {
    EXPECT_THAT(mistakes_with_air(value),
                ElementsAre(AllOf(HasSubstr("leadwright.toml:4:20"), HasSubstr("above 0, at most 100000"))))
        << value;
  }
  for (const char* value : {"inf", "nan"}) {
    EXPECT_THAT(mistakes_with_air(value), ElementsAre(HasSubstr("must be a finite number"))) << value;
  }
  EXPECT_THAT(mistakes_with_air("\"60 m3/h\""), Contains(HasSubstr("leadwright.toml:4:20")));
  EXPECT_THAT(mistakes_with("prefix", "airflow_m3_h = 60\nprefix"),
              ElementsAre(HasSubstr("did you mean `airflow_m3_per_h`?")));
}

}  // namespace
}  // namespace leadwright
