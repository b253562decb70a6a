// SPDX-License-Identifier: Apache-2.0
// A draw at 25 A in the whole daemon: its forecast in the snapshot, and its end before the cut-off.
#include <boost/json.hpp>

#include <filesystem>
#include <fstream>
#include <iterator>

#include "daemon/battery/design_curve_text.h"
#include "tests/world/world_fixture.h"
#include "tools/forecast_trial/cases.h"

namespace leadwright {
namespace {

namespace fs = std::filesystem;
namespace json = boost::json;

constexpr const char* size_code = "T6";

class ForecastRun : public WorldTest {
 protected:
  /// A configuration whose designs/ holds the curve of the simulator's own 60 Ah batteries.
  void make_bench(bool early = false) {
    folder = fs::path(testing::TempDir()) / testing::UnitTest::GetInstance()->current_test_info()->name();
    fs::create_directories(folder / "designs");
    fs::copy_file(LEADWRIGHT_SOURCE_DIR "/config/estimator.toml", folder / "estimator.toml",
                  fs::copy_options::overwrite_existing);
    DesignCurve curve = simulated_design(60.0);
    nominal = minutes(std::round(as_minutes(curve.time)));
    curve.key = {size_code, Chemistry::flooded, nominal};
    std::ofstream(folder / "designs" / "t6.toml") << text(curve);
    WorldOptions options;
    options.change_settings = [this, early](Settings& settings) {
      settings.estimator_file = (folder / "estimator.toml").string();
      if (early) settings.policy_file = early_policy(settings.policy_file);
    };
    make_world(std::move(options));
  }
  /// The shipped policy with both early decisions allowed.
  std::string early_policy(const std::string& shipped) const {
    std::ifstream file(shipped);
    std::string words{std::istreambuf_iterator<char>(file), {}};
    for (const std::string key : {"early_reached = ", "early_missed = "})
      words.replace(words.find("\n" + key) + 1 + key.size(), 5, "true");
    const fs::path own = folder / "policy.toml";
    std::ofstream(own) << words;
    return own.string();
  }
  void TearDown() override { fs::remove_all(folder); }

  void begin(const std::string& spec, const std::string& parameters) {
    bring("x", spec);
    const std::string body =
        R"({"battery":{"serial":"S-1","chemistry":"flooded","cells":6,"size_code":"T6",)"
        R"("reserve_capacity_min":)" +
        std::to_string(std::lround(as_minutes(nominal))) +
        R"(,"reserve_capacity_standard":"en"},"procedures":["reserve capacity until decided"]})";
    const Response added = world->ask("ticket.add", "", body);
    ASSERT_EQ(added.status, 201) << added.body;
    carry("x", shown(world->bench().ledger().files().rbegin()->first), bay);
    world->ask("place.acknowledge", bay, R"({"of":"cautions"})");
    const Response started =
        world->ask("place.start", bay,
                   R"({"procedure":"reserve capacity until decided","parameters":{)" + parameters + "}}");
    ASSERT_EQ(started.status, 202) << started.body;
  }
  json::value forecast() {
    const json::value bench = json::parse(world->bench().snapshot());
    for (const json::value& place : bench.at("places").as_array())
      if (place.at("name").as_string() == bay) return place.at("forecast");
    return nullptr;
  }
  const Finding* found(Measurand measurand) {
    for (const Finding& finding : results.back().findings)
      if (finding.measurand == measurand) return &finding;
    return nullptr;
  }
  const std::string& end_of_draw() { return results.back().trace.steps[1].end; }

  fs::path folder;
  Second nominal;
};

TEST_F(ForecastRun, shows_its_interval_and_what_it_rests_on_while_it_draws) {
  make_bench();
  begin("cell:sound,c20_ah=60", "");
  EXPECT_TRUE(forecast().is_null());
  world->clock().run_for(minutes(40.0));
  const json::value shown_now = forecast();
  ASSERT_FALSE(shown_now.is_null());
  EXPECT_EQ(shown_now.at("method").as_string(), "design_curve");
  EXPECT_EQ(shown_now.at("batteries").as_int64(), DesignCurve::batteries_min);
  const double truth = as_minutes(nominal);
  EXPECT_LT(shown_now.at("earliest_min").to_number<double>(), truth);
  EXPECT_GT(shown_now.at("latest_min").to_number<double>(), 0.95 * truth);
  EXPECT_LT(shown_now.at("weak_cell_1").to_number<double>(), 0.11);
  ASSERT_TRUE(world->finish(bay));
  EXPECT_TRUE(forecast().is_null());
  EXPECT_EQ(end_of_draw(), "cut-off reached");
  EXPECT_NE(found(Measurand::reserve_capacity_ref), nullptr);
}

TEST_F(ForecastRun, stops_by_measurement_when_it_has_lasted_long_enough) {
  make_bench();
  begin("cell:sound,c20_ah=60", R"("enough":"60 min")");
  ASSERT_TRUE(world->finish(bay));
  EXPECT_EQ(end_of_draw(), "enough");
  EXPECT_EQ(results.back().run.outcome, RunOutcome::complete) << results.back().run.end_reason;
  const Finding* least = found(Measurand::reserve_capacity_at_least);
  ASSERT_NE(least, nullptr);
  EXPECT_GE(least->value, 60.0);
  EXPECT_LT(least->value, 60.1);
  EXPECT_EQ(found(Measurand::reserve_capacity), nullptr);
  EXPECT_TRUE(is_off());
}

TEST_F(ForecastRun, stops_by_forecast_when_it_can_not_last_long_enough) {
  make_bench();
  begin("cell:dried_out,c20_ah=60", R"("too_few":"100 min")");
  ASSERT_TRUE(world->finish(bay));
  EXPECT_EQ(end_of_draw(), "too few by forecast");
  const Finding* foretold = found(Measurand::reserve_capacity_ref_forecast);
  ASSERT_NE(foretold, nullptr);
  EXPECT_LT(foretold->value, 100.0);
  EXPECT_NE(found(Measurand::reserve_capacity_ref_at_least), nullptr);
  EXPECT_EQ(found(Measurand::reserve_capacity_ref), nullptr);
  EXPECT_TRUE(is_off());
}

TEST_F(ForecastRun, goes_to_the_cut_off_if_nobody_asked_for_less) {
  make_bench();
  begin("cell:dried_out,c20_ah=60", "");
  ASSERT_TRUE(world->finish(bay));
  EXPECT_EQ(end_of_draw(), "cut-off reached");
}

TEST_F(ForecastRun, takes_its_limits_from_a_policy_that_allows_it) {
  make_bench(true);
  begin("cell:dried_out,c20_ah=60", "");
  ASSERT_TRUE(world->finish(bay));
  EXPECT_EQ(end_of_draw(), "too few by forecast");
  const Finding* foretold = found(Measurand::reserve_capacity_ref_forecast);
  ASSERT_NE(foretold, nullptr);
  EXPECT_LT(foretold->value + 1.645 * foretold->u, 0.6 * as_minutes(nominal));
}

TEST_F(ForecastRun, a_broken_design_file_is_told_before_anything_runs) {
  make_bench();
  std::ofstream(folder / "designs" / "broken.toml") << "schema = 1\n";
  WorldOptions options;
  options.config_folder = LEADWRIGHT_SOURCE_DIR "/config";
  options.change_settings = [this](Settings& settings) {
    settings.estimator_file = (folder / "estimator.toml").string();
  };
  const auto made = World::make(std::move(options));
  ASSERT_FALSE(made);
  EXPECT_NE(made.error().front().where.find("broken.toml"), std::string::npos);
}

}  // namespace
}  // namespace leadwright
