// SPDX-License-Identifier: Apache-2.0
// Reserve capacity against outside traces: the porous-electrode model of tests/reference/porous-electrode,
// which nobody here wrote. The minutes of each sidecar are the truth; the rehearsal sees the CSV alone.
#include <gtest/gtest.h>

#include <boost/json.hpp>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "tools/rehearse/trace_rehearsal.h"

namespace leadwright {
namespace {

const std::string reference = LEADWRIGHT_SOURCE_DIR "/tests/reference/porous-electrode";
constexpr double minutes_off_max = 0.01;

std::string text_of(const std::string& path) {
  std::ifstream file(path);
  std::stringstream text;
  text << file.rdbuf();
  return text.str();
}

std::vector<std::string> traces_at_25a() {
  std::vector<std::string> files;
  for (const char* group : {"A", "B", "E"}) {
    for (const auto& entry : std::filesystem::directory_iterator(reference + "/" + group)) {
      const std::string path = entry.path().string();
      const bool wanted = entry.path().extension() == ".csv" &&
                          (std::string_view(group) != "A" || path.find("_25a") != std::string::npos);
      if (wanted) files.push_back(path);
    }
  }
  std::sort(files.begin(), files.end());
  return files;
}

double truth_min(const std::string& csv) {
  const auto sidecar = boost::json::parse(text_of(csv.substr(0, csv.size() - 4) + ".json"));
  return sidecar.at("minutes_to_cutoff").to_number<double>();
}

TraceRehearsalOptions options_for(std::vector<std::string> files) {
  TraceRehearsalOptions options;
  options.files = std::move(files);
  options.config_folder = LEADWRIGHT_SOURCE_DIR "/config";
  return options;
}

TEST(TraceRehearsal, finds_the_minutes_of_every_outside_trace_within_one_per_cent) {
  const std::vector<std::string> files = traces_at_25a();
  ASSERT_GE(files.size(), 25U);
  const auto rehearsals = rehearse_traces(options_for(files));
  ASSERT_TRUE(rehearsals) << rehearsals.error().line();
  for (const TraceRehearsal& each : *rehearsals) {
    const double truth = truth_min(each.file);
    ASSERT_TRUE(each.reserve_capacity_min) << each.file << ": " << each.end_reason;
    EXPECT_NEAR(*each.reserve_capacity_min, truth, minutes_off_max * truth) << each.file;
  }
}

TEST(TraceRehearsal, stays_within_its_stated_uncertainty_with_realistic_instruments) {
  TraceRehearsalOptions options = options_for({reference + "/B/B_02.csv", reference + "/E/E_07.csv"});
  options.realistic = true;
  for (std::uint64_t seed = 1; seed <= 5; ++seed) {
    options.seed = seed;
    const auto rehearsals = rehearse_traces(options);
    ASSERT_TRUE(rehearsals) << rehearsals.error().line();
    for (const TraceRehearsal& each : *rehearsals) {
      const double truth = truth_min(each.file);
      ASSERT_TRUE(each.reserve_capacity_min) << each.file << ": " << each.end_reason;
      const double allowed = std::max(minutes_off_max * truth, 2.0 * *each.reserve_capacity_u_min);
      EXPECT_NEAR(*each.reserve_capacity_min, truth, allowed) << each.file << " seed=" << seed;
    }
  }
}

TEST(TraceRehearsal, the_same_seed_gives_the_same_event_log_and_wire_byte_for_byte) {
  TraceRehearsalOptions options = options_for({reference + "/A/A_17ah_25a.csv"});
  options.realistic = true;
  std::string logs[2];
  std::string wires[2];
  for (int run = 0; run < 2; ++run) {
    options.log_file = testing::TempDir() + "/world.log";
    options.wire_file = testing::TempDir() + "/world.wire";
    const auto rehearsals = rehearse_traces(options);
    ASSERT_TRUE(rehearsals) << rehearsals.error().line();
    logs[run] = text_of(options.log_file);
    wires[run] = text_of(options.wire_file);
  }
  EXPECT_GT(logs[0].size(), 200U);
  EXPECT_EQ(logs[0], logs[1]);
  EXPECT_GT(wires[0].size(), 10000U);
  EXPECT_EQ(wires[0], wires[1]);
}

TEST(TraceRehearsal, a_file_that_is_no_trace_is_an_error_that_names_it) {
  const auto rehearsals = rehearse_traces(options_for({reference + "/README.md"}));
  ASSERT_FALSE(rehearsals);
  EXPECT_NE(rehearsals.error().line().find("README.md"), std::string::npos);
}

}  // namespace
}  // namespace leadwright
