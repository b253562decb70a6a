// SPDX-License-Identifier: Apache-2.0
#include "drivers/profile.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <sstream>

namespace leadwright {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

const std::string folder = LEADWRIGHT_SOURCE_DIR "/config/profiles/";

std::string text_of(const std::string& name) {
  std::ifstream file(folder + name);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

std::vector<std::string> mistakes(const std::string& text) {
  std::vector<std::string> lines;
  const auto profile = parse_profile(text, "p.toml");
  if (profile) return lines;
  for (const Error& error : profile.error()) lines.push_back(error.line());
  return lines;
}

/// The shipped load with one text replaced.
std::vector<std::string> mistakes_with(const std::string& from, const std::string& to) {
  std::string text = text_of("simulated_load.toml");
  const std::size_t at = text.find(from);
  if (at == std::string::npos) return {"the test's own text is not in the file: " + from};
  return mistakes(text.replace(at, from.size(), to));
}

TEST(Profile, every_shipped_file_is_right) {
  int count = 0;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    EXPECT_THAT(mistakes(text_of(entry.path().filename())), IsEmpty()) << entry.path();
    ++count;
  }
  EXPECT_GE(count, 12);
}

/// A shipped Modbus profile with one text replaced.
std::vector<std::string> modbus_mistakes_with(const std::string& from, const std::string& to) {
  std::string text = text_of("generic_modbus_charger.toml");
  const std::size_t at = text.find(from);
  if (at == std::string::npos) return {"the test's own text is not in the file: " + from};
  return mistakes(text.replace(at, from.size(), to));
}

TEST(Profile, demands_what_a_modbus_sample_can_be_since_a_wrong_word_order_gives_finite_numbers) {
  EXPECT_THAT(modbus_mistakes_with("plausible = { read_volts = [-1.0, 60.0], ", "plausible = { "),
              ElementsAre(HasSubstr("needs what read_volts can be")));
  EXPECT_THAT(modbus_mistakes_with("word = 0, type = \"f32\", order = \"abcd\"", "word = 0, type = \"f32\""),
              ElementsAre(HasSubstr("missing key `order`")));
}

TEST(Profile, refuses_registers_that_can_not_be) {
  EXPECT_THAT(modbus_mistakes_with("at = 10, type", "at = 70000, type"),
              Contains(HasSubstr("as on the wire")));
  EXPECT_THAT(modbus_mistakes_with("space = \"coil\", at = 0 }", "space = \"discrete\", at = 0 }"),
              Contains(HasSubstr("can only be read")));
  EXPECT_THAT(modbus_mistakes_with("word = 2, type", "word = 1, type"),
              Contains(HasSubstr("shares words with read_volts")));
  EXPECT_THAT(modbus_mistakes_with("word = 2, type", "word = 3, type"),
              Contains(HasSubstr("lies outside the words that are read")));
  EXPECT_THAT(modbus_mistakes_with("range_v = [0.0, 16.5]", "range_v = [0.0, 1650.0]"),
              Contains(HasSubstr("can't hold the whole range")));
  EXPECT_THAT(modbus_mistakes_with("unit = 1 ", "unit = 0 "), Contains(HasSubstr("write 1 to 247")));
}

TEST(Profile, gives_the_simulated_load_as_written) {
  const auto profile = load_profile(folder + "simulated_load.toml");
  ASSERT_TRUE(profile);
  EXPECT_EQ(profile->role, Role::load);
  EXPECT_EQ(profile->stale, Second(1.0));
  EXPECT_EQ(profile->link.timeout, Second(0.3));
  EXPECT_EQ(profile->amps_max, Ampere(100.0));
  EXPECT_FALSE(profile->volts_max);
  EXPECT_EQ(profile->volts_accuracy.absolute, Volt(0.003));
  EXPECT_TRUE(profile->has(Capability::cutoff_volts));
  EXPECT_FALSE(profile->has(Capability::set_volts));
  EXPECT_THAT(profile->safe.commands, ElementsAre("INP OFF", "CURR 0"));
  ASSERT_EQ(profile->sample_fields.size(), 2U);
  EXPECT_EQ(profile->sample_fields[0].of, ReadingOf::volts);
  EXPECT_EQ(profile->sample_fields[1].of, ReadingOf::amps);
  ASSERT_TRUE(profile->draw);
  EXPECT_EQ(profile->draw->on, "INP ON");
  const Setting* amps = profile->setting(Capability::set_amps);
  ASSERT_NE(amps, nullptr);
  EXPECT_EQ(amps->head + "5" + amps->tail, "CURR 5");
  ASSERT_TRUE(amps->follow);
  EXPECT_EQ(amps->follow->within, Second(0.5));
}

TEST(Profile, matches_the_whole_identity_and_not_a_part_of_it) {
  const auto profile = load_profile(folder + "simulated_load.toml");
  ASSERT_TRUE(profile);
  EXPECT_TRUE(profile->identity_matches("Leadwright,simulated load,L1,sim-1"));
  EXPECT_FALSE(profile->identity_matches("Leadwright,simulated charger,L1,sim-1"));
  EXPECT_FALSE(profile->identity_matches(std::string("Leadwright,simulated load,L1,sim-1\0x", 35)));
  EXPECT_FALSE(profile->identity_matches("xLeadwright,simulated load,L1,sim-1"));
}

TEST(Profile, says_where_a_key_is_misspelt) {
  EXPECT_THAT(mistakes_with("timeout_ms", "tiemout_ms"),
              Contains(HasSubstr("unknown key `tiemout_ms`: did you mean `timeout_ms`?")));
}

TEST(Profile, reports_several_mistakes_at_once) {
  std::string text = text_of("simulated_load.toml");
  text.replace(text.find("CURR {x}"), 8, "CURR 1.0");
  text.replace(text.find("\"fixed:3\""), 9, "\"fixed:x\"");
  const auto lines = mistakes(text);
  EXPECT_THAT(lines, Contains(HasSubstr("placeholder {x} exactly once")));
  EXPECT_THAT(lines, Contains(HasSubstr("unknown format")));
}

TEST(Profile, demands_what_the_role_needs) {
  EXPECT_THAT(mistakes_with("role = \"load\"", "role = \"charger\""), Not(IsEmpty()));
  EXPECT_THAT(mistakes_with("reply = [\"read_volts\", \"read_amps\"]", "reply = [\"read_volts\"]"),
              ElementsAre(HasSubstr("a sample must give read_amps")));
  EXPECT_THAT(mistakes_with("do = [\"INP OFF\", \"CURR 0\"]", "do = []"),
              ElementsAre(HasSubstr("nothing switches it off")));
}

TEST(Profile, demands_that_every_setting_can_be_read_back) {
  EXPECT_THAT(mistakes_with("verify = { ask = \"CURR?\", abs = 0.002 }\n", ""),
              ElementsAre(HasSubstr("missing key `verify`")));
}

TEST(Profile, demands_time_for_a_second_question_before_a_sample_is_stale) {
  EXPECT_THAT(mistakes_with("timeout_ms = 300", "timeout_ms = 400"),
              ElementsAre(HasSubstr("at most a third of watchdog.stale_ms")));
}

TEST(Profile, refuses_line_ends_inside_messages) {
  EXPECT_THAT(mistakes_with("\"INP OFF\"", "\"INP OFF\\nINP ON\""),
              ElementsAre(HasSubstr("must not contain a line end")));
}

TEST(Profile, refuses_a_range_without_an_inside) {
  EXPECT_THAT(mistakes_with("range_a = [0.0, 100.0]", "range_a = [100.0, 0.0]"),
              ElementsAre(HasSubstr("needs `range_a` with lowest and highest value")));
}

TEST(Profile, refuses_a_range_in_the_wrong_unit) {
  EXPECT_THAT(mistakes_with("range_a = [0.0, 100.0]", "range_v = [0.0, 100.0]"),
              Contains(HasSubstr("unknown key `range_v`: did you mean `range_a`?")));
}

TEST(Profile, refuses_an_identity_that_is_no_expression) {
  EXPECT_THAT(mistakes_with("'^Leadwright,", "'^(Leadwright,"),
              ElementsAre(HasSubstr("not a regular expression")));
}

TEST(Profile, says_in_one_error_that_it_does_not_speak_another_dialect) {
  EXPECT_THAT(
      mistakes("schema = 1\nrole = \"charger\"\ndialect = \"morse\"\nname = \"x\"\nidentity = { at = 1 }\n"),
      ElementsAre(HasSubstr("p.toml:3:11: unknown dialect: morse")));
}

TEST(Profile, refuses_a_thermometer_that_could_energise) {
  const std::string can =
      "\n[can.set_amps]\nset = \"CURR {x}\"\nrange_a = [0, 1]\nverify = { ask = \"CURR?\", abs = 1 }\n";
  EXPECT_THAT(mistakes(text_of("simulated_thermometer.toml") + can),
              ElementsAre(HasSubstr("a thermometer only reads")));
}

}  // namespace
}  // namespace leadwright
