// SPDX-License-Identifier: Apache-2.0
#include "settings_fixture.h"

namespace leadwright {
namespace {

using ::testing::AllOf;
using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;

TEST_F(SettingsTest, reads_a_bench) {
  const Settings settings = read(good_settings);
  EXPECT_EQ(settings.bench_name, "test bench");
  EXPECT_EQ(settings.bench_prefix, "N2");
  EXPECT_FALSE(settings.bench_time);
  EXPECT_EQ(settings.web_address, "127.0.0.1");
  EXPECT_EQ(settings.web_port, 0);
  EXPECT_EQ(settings.policy_file, (folder_ / "policies/bench.toml").string());
  ASSERT_EQ(settings.places.size(), 2U);
  const PlaceSettings& bay = settings.places[0];
  EXPECT_EQ(bay.kind, PlaceKind::bay);
  EXPECT_FALSE(bay.attended_only);
  EXPECT_EQ(bay.load->profile, (folder_ / "profiles/a_load.toml").string());
  EXPECT_EQ(bay.load->link, "serial:/dev/serial/by-id/load");
  EXPECT_EQ(bay.charger->link, "tcp:127.0.0.1:5025");
  EXPECT_FALSE(bay.thermometer);
  EXPECT_EQ(settings.places[1].kind, PlaceKind::shelf);
}

TEST_F(SettingsTest, takes_a_place_for_attended_only_unless_the_file_says_otherwise) {
  std::string text = good_settings;
  text.erase(text.find("attended_only = false\n"), std::string("attended_only = false\n").size());
  EXPECT_TRUE(read(text).places[0].attended_only);
}

TEST_F(SettingsTest, reads_paths_from_the_files_own_folder) {
  write("schema = 1\n", "time.toml");
  std::string text = good_settings;
  text.replace(text.find("name = \"test bench\""), 0, "time = \"time.toml\"\n");
  EXPECT_EQ(read(text).bench_time, (folder_ / "time.toml").string());
}

TEST_F(SettingsTest, reads_how_long_the_gas_of_a_charge_takes_to_go) {
  EXPECT_EQ(read(good_settings).precautions.gas_off, minutes(60.0)) << "common practice";
  std::string text = good_settings;
  text.insert(text.find("prefix"), "gas_off_s = 1800\n");
  EXPECT_EQ(read(text).precautions.gas_off, minutes(30.0));
  EXPECT_THAT(mistakes_with("prefix", "gas_off_s = -1\nprefix"),
              ElementsAre(AllOf(HasSubstr("leadwright.toml:4:13"), HasSubstr("outside what makes sense"))));
}

TEST_F(SettingsTest, knows_two_papers_for_certificates) {
  EXPECT_EQ(read(good_settings).paper, "a4");
  std::string text = good_settings;
  text.insert(text.find("[web]"), "[certificate]\npaper = \"letter\"\n");
  EXPECT_EQ(read(text).paper, "letter");
  EXPECT_THAT(mistakes_with("[web]", "[certificate]\npaper = \"a3\"\n[web]"),
              ElementsAre(HasSubstr("no such paper: \"a3\": a4 or letter")));
}

TEST_F(SettingsTest, names_an_unknown_key_with_line_column_and_near_match) {
  EXPECT_THAT(mistakes_with("port = 0", "prt = 0"),
              ElementsAre(AllOf(HasSubstr("leadwright.toml:6:1"), HasSubstr("`prt`"),
                                HasSubstr("did you mean `port`?"))));
  EXPECT_THAT(mistakes_with("[web]", "[wep]"), Contains(HasSubstr("did you mean `web`?")));
}

TEST_F(SettingsTest, reports_every_mistake_at_once) {
  const auto lines =
      mistakes("schema = 1\n[bench]\nname = 1\n[web]\nport = 70000\n[[place]]\nname = \"A b\"\n");
  EXPECT_THAT(lines, Contains(HasSubstr("leadwright.toml:3:8")));
  EXPECT_THAT(lines, Contains(AllOf(HasSubstr("leadwright.toml:5:8"), HasSubstr("not a port"))));
  EXPECT_THAT(lines, Contains(HasSubstr("not a name for a place")));
  EXPECT_THAT(lines, Contains(HasSubstr("kind")));
}

TEST_F(SettingsTest, demands_the_schema) {
  EXPECT_THAT(mistakes_with("schema = 1\n", ""), Contains(HasSubstr("schema")));
}

TEST_F(SettingsTest, refuses_two_places_of_one_name) {
  EXPECT_THAT(mistakes_with("name = \"shelf\"", "name = \"bay-1\""),
              ElementsAre(AllOf(HasSubstr("leadwright.toml:14:8"), HasSubstr("a second place"))));
}

TEST_F(SettingsTest, refuses_a_bay_without_load) {
  EXPECT_THAT(mistakes_with("load = { profile = \"a_load\", link = \"serial:/dev/serial/by-id/load\" }", ""),
              ElementsAre(AllOf(HasSubstr("leadwright.toml:7:1"), HasSubstr("a bay needs a load"))));
}

TEST_F(SettingsTest, refuses_instruments_where_the_kind_of_place_has_none) {
  EXPECT_THAT(mistakes_with("kind = \"bay\"", "kind = \"shelf\""), ElementsAre(HasSubstr("a shelf has no")));
  EXPECT_THAT(mistakes_with("kind = \"bay\"", "kind = \"charging\""), ElementsAre(HasSubstr("has no load")));
  EXPECT_THAT(mistakes_with("kind = \"shelf\"", "kind = \"charging\""),
              ElementsAre(HasSubstr("needs a charger")));
}

TEST_F(SettingsTest, names_an_unknown_kind_with_a_near_match) {
  EXPECT_THAT(mistakes_with("kind = \"shelf\"", "kind = \"shelv\""),
              ElementsAre(HasSubstr("did you mean \"shelf\"?")));
}

TEST_F(SettingsTest, refuses_one_link_for_two_instruments) {
  EXPECT_THAT(
      mistakes_with("tcp:127.0.0.1:5025", "serial:/dev/serial/by-id/load"),
      ElementsAre(AllOf(HasSubstr("leadwright.toml:12:11"), HasSubstr("also the link of bay-1.load"))));
}

TEST_F(SettingsTest, refuses_links_that_can_not_be) {
  EXPECT_THAT(mistakes_with("serial:/dev/serial/by-id/load", "serial:/dev/ttyUSB0"),
              ElementsAre(HasSubstr("by-id")));
  EXPECT_THAT(mistakes_with("tcp:127.0.0.1:5025", "tcp:nowhere"), ElementsAre(HasSubstr("host and a port")));
  EXPECT_THAT(mistakes_with("tcp:127.0.0.1:5025", "memory:bay-1.load"), ElementsAre(HasSubstr("tests")));
}

TEST_F(SettingsTest, names_a_missing_profile_with_a_near_match) {
  EXPECT_THAT(mistakes_with("a_load", "a_laod"),
              ElementsAre(AllOf(HasSubstr("no profile `a_laod`"), HasSubstr("did you mean `a_load`?"))));
}

TEST_F(SettingsTest, refuses_to_listen_beyond_this_machine) {
  for (const char* address : {"0.0.0.0", "192.0.2.1", "::"}) {
    EXPECT_THAT(mistakes_with("port = 0", "address = \"" + std::string(address) + "\""),
                ElementsAre(HasSubstr("needs tokens")));
  }
  EXPECT_THAT(mistakes_with("port = 0", "address = \"bench.local\""), ElementsAre(HasSubstr("numeric")));
  EXPECT_THAT(mistakes_with("port = 0", "address = \"::1\""), ElementsAre());
}

TEST_F(SettingsTest, listens_beyond_this_machine_with_tokens_and_behind_a_proxy_only) {
  const std::string wide = "address = \"0.0.0.0\"\naccess = \"tokens\"\n";
  EXPECT_THAT(mistakes_with("port = 0", wide), ElementsAre(HasSubstr("TLS in front of it")));
  EXPECT_THAT(mistakes_with("port = 0", wide + "behind_proxy = true\nnames = [\"bench.example:8443\"]"),
              ElementsAre());
  EXPECT_THAT(mistakes_with("port = 0", "behind_proxy = true"), ElementsAre(HasSubstr("add access")));
  EXPECT_THAT(mistakes_with("port = 0", "access = \"open\""), ElementsAre(HasSubstr("local or tokens")));
  EXPECT_THAT(mistakes_with("port = 0", "names = [\"https://bench.example\"]"),
              ElementsAre(HasSubstr("no name of a host")));
}

TEST_F(SettingsTest, names_files_that_do_not_exist) {
  std::filesystem::remove(folder_ / "policies/bench.toml");
  std::filesystem::remove(folder_ / "procedures");
  EXPECT_THAT(mistakes(good_settings),
              ElementsAre(HasSubstr("no such policy"), HasSubstr("no such folder of procedures")));
  EXPECT_THAT(mistakes_with("prefix", "time = \"none.toml\"\nprefix"),
              Contains(HasSubstr("leadwright.toml:4:8")));
}

TEST_F(SettingsTest, refuses_a_bench_without_places) {
  EXPECT_THAT(mistakes("schema = 1\n"), ElementsAre(HasSubstr("no place")));
}

TEST_F(SettingsTest, names_a_file_that_is_not_there) {
  const auto settings = read_settings("/nowhere/leadwright.toml");
  ASSERT_FALSE(settings);
  EXPECT_THAT(settings.error().front().line(), HasSubstr("/nowhere/leadwright.toml"));
}

TEST_F(SettingsTest, lays_drop_ins_over_the_main_file_in_order_of_their_names) {
  write(good_settings);
  write("schema = 1\n[web]\nport = 9001\n[bench]\nname = \"first\"\n", "conf.d/10-a.toml");
  write(
      "schema = 1\n[bench]\nname = \"second\"\n[[place]]\nname = \"shelf\"\nkind = \"charging\"\n"
      "charger = { profile = \"a_charger\", link = \"tcp:127.0.0.1:5026\" }\n",
      "conf.d/20-b.toml");
  write("not toml at all", "conf.d/30-c.toml.off");
  const auto settings = read_installed_settings(folder_.string());
  ASSERT_TRUE(settings) << settings.error().front().line();
  EXPECT_EQ(settings->bench_name, "second");
  EXPECT_EQ(settings->web_port, 9001);
  ASSERT_EQ(settings->places.size(), 2U);
  EXPECT_EQ(settings->places[1].kind, PlaceKind::charging);
  EXPECT_EQ(settings->files.size(), 3U);
}

TEST_F(SettingsTest, reads_the_time_of_a_simulated_bench) {
  const std::string path =
      write("schema = 1\nscale = 240\nmachine_zero_ns = 123456789012\nutc_zero = \"2026-01-31T08:00:00Z\"\n");
  const auto time = read_bench_time(path);
  ASSERT_TRUE(time) << time.error().front().line();
  EXPECT_EQ(time->scale, 240.0);
  EXPECT_EQ(time->machine_zero_ns, 123'456'789'012);
  EXPECT_EQ(time->utc_zero.rfc3339(), "2026-01-31T08:00:00Z");
}

TEST_F(SettingsTest, refuses_a_bench_time_that_can_not_be) {
  const auto time = read_bench_time(write("schema = 1\nscale = 0\nutc_zero = \"soon\"\n"));
  ASSERT_FALSE(time);
  std::vector<std::string> lines;
  for (const Error& error : time.error()) lines.push_back(error.line());
  EXPECT_THAT(lines, Contains(HasSubstr("no bench can run at this speed")));
  EXPECT_THAT(lines, Contains(HasSubstr("machine_zero_ns")));
  EXPECT_THAT(lines, Contains(HasSubstr("\"soon\" is not an instant")));
}

TEST(ShippedSettings, the_example_has_no_mistake_but_what_this_tree_lacks) {
  const auto settings = read_settings(LEADWRIGHT_SOURCE_DIR "/config/leadwright.toml");
  if (settings) {
    EXPECT_EQ(settings->places.size(), 3U);
    return;
  }
  for (const Error& error : settings.error()) ADD_FAILURE() << error.line();
}

}  // namespace
}  // namespace leadwright
