// SPDX-License-Identifier: Apache-2.0
// A bench whose load is past its last day of calibration.
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

constexpr const char* first_day = "2026-01-01";  // of every world
constexpr const char* day_before = "2025-12-31";

class CalibrationTest : public WorldTest {
 protected:
  void make_bench(const std::string& due, const std::string& policy) {
    WorldOptions options;
    options.change_settings = [&](Settings& settings) {
      settings.policy_file = LEADWRIGHT_SOURCE_DIR "/config/policies/" + policy + ".toml";
      for (PlaceSettings& place : settings.places)
        if (place.load) place.load->calibration_due = due;
    };
    make_world(std::move(options));
  }
  /// Of the open-circuit voltage that an intake check found.
  Finding voltage_found(const std::string& due) {
    make_bench(due, "bench");
    begin_run("cell:sound,charged=1", "intake check");
    world->clock().run_for(minutes(30.0));
    for (const RunResult& result : results)
      for (const Finding& finding : result.findings)
        if (finding.measurand == Measurand::ocv) return finding;
    ADD_FAILURE() << "no voltage was found";
    return {};
  }
};

TEST_F(CalibrationTest, overdue_widens_what_is_found_and_says_so) {
  const Finding in_time = voltage_found(first_day);
  results.clear();
  const Finding overdue = voltage_found(day_before);
  EXPECT_THAT(in_time.conditions, Not(HasSubstr("calibration overdue")));
  EXPECT_THAT(overdue.conditions, HasSubstr("calibration overdue, limits of the meters times 2.0"));
  EXPECT_GT(overdue.u, 1.5 * in_time.u);
  const std::vector<UsedInstrument>& used = results.front().run.instruments;
  ASSERT_EQ(used.size(), 3U);
  EXPECT_EQ(used[0].name, "bay-1.load");
  EXPECT_FALSE(used[0].identity.empty());
  EXPECT_TRUE(used[0].calibration_overdue);
  EXPECT_FALSE(used[1].calibration_overdue) << "nobody said when the charger is due";
}

TEST_F(CalibrationTest, overdue_draws_nothing_where_the_policy_refuses_it) {
  make_bench(day_before, "store_claim");
  bring("x", "cell:sound,charged=1");
  const std::string ticket = drop_off("S-1", "flooded", 6, "intake check");
  carry("x", ticket, bay);
  world->ask("place.acknowledge", bay, R"({"of":"cautions"})");
  const Response refused = world->ask("place.start", bay, "");
  EXPECT_EQ(refused.status, 409) << refused.body;
  EXPECT_THAT(refused.body, AllOf(HasSubstr("the calibration of bay-1.load was good until 2025-12-31"),
                                  HasSubstr("calibration_due")));
}

TEST_F(CalibrationTest, counts_its_last_day_in_full) {
  make_bench(first_day, "store_claim");
  begin_run("cell:sound,charged=1", "intake check");
}

}  // namespace
}  // namespace leadwright
