// SPDX-License-Identifier: Apache-2.0
#include "daemon/procedure/procedure.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

namespace leadwright {
namespace {

const char* const sound = R"(schema = 1
name = "short draw"
version = 2
what = "Draws for a while."
attended = true
needs = ["load", "thermometer"]

[limits]
volts_min = "1.5 V * cells"
case_max = "50 degC"

[[step]]
name = "draw"
do = "draw"
what = "Draw 25 A."
amps = "25 A"
cutoff = "1.72 V * cells"
until = [{ name = "cut-off reached", when = "volts <= 1.75 V * cells", hold = "2 s" }]
abort = [{ name = "too warm", when = "case_temperature > 45 degC" }]
at_most = "3 h"
at_most_is = "failure"

[[step]]
name = "result"
do = "state"
what = "State it."
finding = "reserve_capacity"
of = ["draw"]
)";

std::string changed(std::string_view from, std::string_view to) {
  std::string text = sound;
  const std::size_t at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return text.replace(at, from.size(), to);
}

std::vector<Error> mistakes(const std::string& text) {
  const auto procedure = read_procedure(text, "p.toml");
  return procedure ? std::vector<Error>{} : procedure.error();
}

TEST(Procedure, is_read_with_all_its_parts) {
  const auto procedure = read_procedure(sound, "p.toml");
  ASSERT_TRUE(procedure) << procedure.error()[0].line();
  EXPECT_EQ(procedure->name, "short draw");
  EXPECT_EQ(procedure->version, 2);
  EXPECT_TRUE(procedure->attended);
  EXPECT_TRUE(procedure->needs_load);
  EXPECT_FALSE(procedure->needs_charger);
  EXPECT_TRUE(procedure->needs_thermometer);
  EXPECT_TRUE(procedure->limits().volts_min);
  EXPECT_FALSE(procedure->limits().volts_max);
  ASSERT_EQ(procedure->steps.size(), 2U);
  const Step& draw = procedure->steps[0];
  EXPECT_EQ(draw.kind, StepKind::draw);
  ASSERT_EQ(draw.until.size(), 1U);
  EXPECT_EQ(draw.until[0].name, "cut-off reached");
  EXPECT_EQ(draw.until[0].hold, Second(2.0));
  ASSERT_EQ(draw.abort.size(), 1U);
  EXPECT_TRUE(draw.time_limit_is_failure);
  EXPECT_EQ(draw.every, Second(0.5));
  EXPECT_EQ(procedure->steps[1].of, std::vector<std::string>{"draw"});
}

TEST(Procedure, is_named_by_the_hash_of_its_text) {
  const auto one = read_procedure(sound, "p.toml");
  const auto same = read_procedure(sound, "elsewhere.toml");
  const auto other = read_procedure(changed("25 A\"", "24 A\""), "p.toml");
  EXPECT_EQ(one->hash.size(), 64U);
  EXPECT_EQ(one->hash, same->hash);
  EXPECT_NE(one->hash, other->hash);
}

struct Mistake {
  const char* from;
  const char* to;
  const char* where;  ///< line, as "p.toml:N:"
  const char* what;   ///< part of the message
};

TEST(Procedure, reports_each_mistake_at_its_place) {
  const Mistake cases[] = {
      {"schema = 1\n", "", "p.toml:1:", "schema"},
      {"version = 2", "version = 0", "p.toml:3:", "whole number"},
      {"needs = [\"load\",", "needs = [\"laod\",", "p.toml:6:", "no instrument"},
      {"needs = [\"load\", ", "needs = [", "p.toml:6:", "a draw can't be made without a load"},
      {"needs = [\"load\", \"thermometer\"]", "needs = [\"load\"]", "p.toml:6:", "without a thermometer"},
      {"volts_min = \"1.5 V * cells\"", "volts_min = \"1.5 A\"", "p.toml:9:", "is A, not V"},
      {"volts_min = ", "volts_mni = ", "p.toml:9:", "unknown key"},
      {"case_max = \"50 degC\"", "case_max = 50", "p.toml:10:", "string"},
      {"do = \"draw\"", "do = \"drw\"", "p.toml:14:", "no step does"},
      {"amps = \"25 A\"\n", "", "p.toml:12:", "amps is missing"},
      {"amps = \"25 A\"", "amps = \"25 V\"", "p.toml:16:", "is V, not A"},
      {"amps = \"25 A\"", "amps = \"-25 A\"", "p.toml:16:", "not above zero"},
      {"amps = \"25 A\"", "amps = \"volts / 1 ohm\"", "p.toml:16:", "only while the step runs"},
      {"amps = \"25 A\"", "amps = \"25 A +\"", "p.toml:16:", "at character 7"},
      {"volts <= 1.75 V * cells", "volts", "p.toml:18:", "not a condition"},
      {"volts <= 1.75 V * cells", "cells <= 6", "p.toml:18:", "never changes"},
      {"hold = \"2 s\"", "hold = \"4 h\"", "p.toml:18:", "longer than the step"},
      {"hold = \"2 s\"", "hold = \"2 A\"", "p.toml:18:", "is A, not s"},
      {"at_most = \"3 h\"\n", "", "p.toml:12:", "may never end"},
      {"at_most = \"3 h\"", "at_most = \"80 h\"", "p.toml:20:", "at most 72 h"},
      {"at_most = \"3 h\"", "at_most = \"3 h\"\nevery = \"10 s\"", "p.toml:21:", "not a possible duration"},
      {"at_most_is = \"failure\"", "at_most_is = \"fine\"", "p.toml:21:", "is not known"},
      {"finding = \"reserve_capacity\"", "finding = \"soh\"", "p.toml:27:", "nothing computes"},
      {"of = [\"draw\"]", "of = [\"drawn\"]", "p.toml:28:", "no earlier step"},
      {"of = [\"draw\"]", "of = [\"result\"]", "p.toml:28:", "no earlier step"},
      {"of = [\"draw\"]", "of = []", "p.toml:28:", "not said of which"},
      {"of = [\"draw\"]", "of = [\"draw\"]\namps = \"1 A\"", "p.toml:29:", "unknown key"},
      {"name = \"result\"", "name = \"draw\"", "p.toml:24:", "two steps are called"},
  };
  for (const Mistake& one : cases) {
    const auto errors = mistakes(changed(one.from, one.to));
    ASSERT_FALSE(errors.empty()) << one.to;
    bool found = false;
    for (const Error& error : errors) {
      found |= error.where.rfind(one.where, 0) == 0 && error.what.find(one.what) != std::string::npos;
    }
    EXPECT_TRUE(found) << one.to << " -> " << errors[0].line();
  }
}

TEST(Procedure, reads_a_step_whose_kind_is_misspelt_as_what_was_meant_so_that_its_keys_are_no_mistakes) {
  const auto errors = mistakes(changed("do = \"draw\"", "do = \"drw\""));
  ASSERT_EQ(errors.size(), 1U);
  EXPECT_NE(errors[0].mend.find("did you mean \"draw\"?"), std::string::npos);
}

TEST(Procedure, refuses_a_step_that_only_its_time_limit_can_end_where_that_is_a_failure) {
  const std::string rest =
      "[[step]]\nname = \"rest\"\ndo = \"rest\"\nwhat = \"Rest.\"\nat_most = \"1 h\"\n"
      "at_most_is = \"failure\"\n";
  const std::string step = "[[step]]\nname = \"draw\"";
  const auto errors = mistakes(changed(step, rest + step));
  ASSERT_EQ(errors.size(), 1U);
  EXPECT_NE(errors[0].what.find("nothing ends \"rest\" before its limit"), std::string::npos);
  const std::string stable = "stable = \"5 mV\"\nstable_for = \"60 s\"\n";
  EXPECT_TRUE(mistakes(changed(step, rest + stable + step)).empty());
}

TEST(Procedure, has_a_draw_end_by_voltage) {
  std::string text = changed("cutoff = \"1.72 V * cells\"\n", "");
  text.erase(text.find("at_most_is = \"failure\"\n"), 23);
  const std::string until =
      "until = [{ name = \"cut-off reached\", when = \"volts <= 1.75 V * cells\", hold = \"2 s\" }]\n";
  text.erase(text.find(until), until.size());
  const auto errors = mistakes(text);
  ASSERT_EQ(errors.size(), 1U);
  EXPECT_NE(errors[0].what.find("no end by voltage"), std::string::npos);
}

TEST(Procedure, reports_all_mistakes_at_once_in_their_order) {
  std::string text = changed("version = 2", "version = 0");
  text.replace(text.find("\"25 A\""), 6, "\"25 V\"");
  text.replace(text.find("\"soh\"") == std::string::npos ? text.find("[\"draw\"]") : 0, 8, "[\"none\"]");
  const auto errors = mistakes(text);
  ASSERT_EQ(errors.size(), 3U);
  EXPECT_EQ(errors[0].where.rfind("p.toml:3:", 0), 0U);
  EXPECT_EQ(errors[1].where.rfind("p.toml:16:", 0), 0U);
  EXPECT_EQ(errors[2].where.rfind("p.toml:28:", 0), 0U);
}

TEST(Procedure, without_steps_is_none) {
  const auto errors = mistakes("schema = 1\nname = \"x\"\nversion = 1\nwhat = \"y\"\n");
  ASSERT_EQ(errors.size(), 1U);
  EXPECT_NE(errors[0].what.find("no steps"), std::string::npos);
}

TEST(Procedure, gives_one_error_for_a_file_that_is_no_toml) {
  EXPECT_EQ(mistakes("name = = 1").size(), 1U);
}

class Folder : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = std::filesystem::path(testing::TempDir()) /
              (std::string("procedures_") + testing::UnitTest::GetInstance()->current_test_info()->name());
    std::filesystem::remove_all(folder_);
    std::filesystem::create_directories(folder_);
  }
  void TearDown() override { std::filesystem::remove_all(folder_); }
  void write(const char* name, const std::string& text) { std::ofstream(folder_ / name) << text; }
  std::filesystem::path folder_;
};

TEST_F(Folder, is_read_by_name_of_the_procedures) {
  write("z.toml", changed("short draw", "a"));
  write("a.toml", changed("short draw", "z"));
  write("notes.txt", "not a procedure");
  const auto procedures = load_procedures(folder_.string());
  ASSERT_TRUE(procedures);
  ASSERT_EQ(procedures->size(), 2U);
  EXPECT_EQ((*procedures)[0].name, "a");
  EXPECT_EQ((*procedures)[1].name, "z");
}

TEST_F(Folder, refuses_two_of_one_name_and_version) {
  write("one.toml", sound);
  write("two.toml", sound);
  const auto procedures = load_procedures(folder_.string());
  ASSERT_FALSE(procedures);
  ASSERT_EQ(procedures.error().size(), 1U);
  EXPECT_NE(procedures.error()[0].what.find("one.toml"), std::string::npos) << procedures.error()[0].line();
}

TEST_F(Folder, may_hold_two_versions) {
  write("one.toml", sound);
  write("two.toml", changed("version = 2", "version = 3"));
  EXPECT_EQ(load_procedures(folder_.string())->size(), 2U);
}

TEST_F(Folder, reports_the_mistakes_of_all_files) {
  write("one.toml", changed("\"25 A\"", "\"25 V\""));
  write("two.toml", changed("version = 2", "version = 0"));
  EXPECT_EQ(load_procedures(folder_.string()).error().size(), 2U);
}

TEST_F(Folder, that_is_missing_is_named) {
  const auto procedures = load_procedures((folder_ / "none").string());
  ASSERT_FALSE(procedures);
  EXPECT_EQ(procedures.error()[0].code, Errc::io);
}

}  // namespace
}  // namespace leadwright
