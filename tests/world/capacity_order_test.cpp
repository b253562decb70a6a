// SPDX-License-Identifier: Apache-2.0
// From which state of charge the whole daemon tests capacity, and what a load test before it changes. The
// label states 200 A, half of which the simulated load can draw.
#include <fstream>

#include "protocol/text_file.h"
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

class CapacityOrder : public WorldTest {
 protected:
  void open(const std::string& policy_name) {
    open_file(LEADWRIGHT_SOURCE_DIR "/config/policies/" + policy_name + ".toml");
  }
  /// The same policy, but its tests follow each other as the chain has them.
  void open_without_figures(const std::string& policy_name) {
    auto text = read_text_file(LEADWRIGHT_SOURCE_DIR "/config/policies/" + policy_name + ".toml");
    ASSERT_TRUE(text);
    const auto from = text->find("[triage]");
    const auto to = text->find("[procedures]");
    ASSERT_LT(from, to);
    const std::string path = testing::TempDir() + policy_name + "_without_figures.toml";
    std::ofstream(path) << text->erase(from, to - from);
    open_file(path);
  }
  void open_file(const std::string& policy_file) {
    auto loaded = load_policy(policy_file);
    ASSERT_TRUE(loaded) << loaded.error().front().line();
    policy = std::move(*loaded);
    WorldOptions options;
    options.change_settings = [&](Settings& settings) { settings.policy_file = policy_file; };
    make_world(std::move(options));
  }
  void drop_off_with_cca() {
    const Response added =
        world->ask("ticket.add", "",
                   R"({"battery":{"serial":"S-1","chemistry":"flooded","cells":6,"c20_ah":60,"cca_a":200,)"
                   R"("cca_standard":"sae","reserve_capacity_min":100,"reserve_capacity_standard":"sae"}})");
    ASSERT_EQ(added.status, 201) << added.body;
    ticket = shown(world->bench().ledger().files().rbegin()->first);
  }
  /// A bench hand who carries, closes the shield and starts, until nothing is left to do before the grade.
  void walk(const std::string& spec) {
    bring("x", spec);
    drop_off_with_cca();
    for (int hand = 0; hand < 12 && !file(ticket).grade; ++hand) {
      const auto next = next_work(file(ticket), policy);
      ASSERT_TRUE(next);
      if (next->not_before) world->clock().run_for(*next->not_before - world->clock().utc());
      const std::string to = next->place_kind == PlaceKind::bay ? bay : charging;
      if (file(ticket).ticket.place != to) carry("x", ticket, to);
      begin(to);
      ASSERT_EQ(results.back().run.outcome, RunOutcome::complete)
          << results.back().run.procedure << ": " << results.back().run.end_reason;
    }
    ASSERT_TRUE(file(ticket).grade);
  }
  std::vector<std::string> done() {
    std::vector<std::string> procedures;
    for (const leadwright::Run& run : file(ticket).runs) procedures.push_back(run.procedure);
    return procedures;
  }
  Grade graded() { return file(ticket).grade.value_or(Grade{}); }

  Policy policy;
  std::string ticket;

 private:
  /// To the end of whatever the place then does by itself.
  void begin(const std::string& place) {
    const auto asks_for = [&](AskOf of) {
      const auto ask = world->bench().place(place)->ask();
      return ask && ask->of == of;
    };
    if (asks_for(AskOf::clamps)) world->ask("place.acknowledge", place, R"({"of":"clamps"})");
    work(place);
    if (!asks_for(AskOf::shield)) return;
    world->ask("place.acknowledge", place, R"({"of":"shield"})");
    work(place);
  }
};

TEST_F(CapacityOrder, a_sound_battery_that_comes_with_80_percent_is_not_graded_by_what_was_missing) {
  open("bench");
  walk("cell:sound,charged=0.8");
  const double truth_min = as_minutes(world->sim().battery("x")->battery->truth_at_25a());
  EXPECT_THAT(done(), ElementsAre("intake check", "standard charge", "stability rest", "internal resistance",
                                  "reserve capacity"));
  const Finding* minutes = file(ticket).newest(Measurand::reserve_capacity);
  ASSERT_NE(minutes, nullptr);
  EXPECT_NEAR(minutes->value, truth_min, 0.03 * truth_min);
  EXPECT_THAT(std::string("AB"), HasSubstr(std::string(1, graded().letter))) << graded().reason;
}

TEST_F(CapacityOrder, a_load_test_needs_no_charge_and_what_it_took_is_put_back_before_the_capacity_test) {
  open_without_figures("rebuilder_resale");
  walk("cell:sound,charged=0.8");
  EXPECT_THAT(done(),
              ElementsAre("intake check", "stability rest", "internal resistance", "half-CCA load test",
                          "standard charge", "stability rest", "reserve capacity until decided",
                          "recharge before leaving", "voltage after standing", "voltage after standing"))
      << "80 % are too few for a battery that nothing drew on";
  EXPECT_THAT(std::string("AB"), HasSubstr(std::string(1, graded().letter))) << graded().reason;
}

TEST_F(CapacityOrder, minutes_come_first_where_the_resistance_says_that_a_load_test_decides_nothing) {
  open("rebuilder_resale");
  walk("cell:sound,charged=0.8");
  EXPECT_THAT(done(), ElementsAre("intake check", "internal resistance", "standard charge", "stability rest",
                                  "reserve capacity until decided", "standard charge", "stability rest",
                                  "half-CCA load test", "voltage after standing", "voltage after standing"))
      << "one charge less, and the load test leaves it full enough to stand";
  EXPECT_THAT(std::string("AB"), HasSubstr(std::string(1, graded().letter))) << graded().reason;
}

TEST_F(CapacityOrder, a_load_test_that_decides_the_grade_leaves_the_battery_its_charge) {
  open("rebuilder_resale");
  walk("cell:high_resistance,c20_ah=12");
  EXPECT_THAT(done(),
              ElementsAre("intake check", "internal resistance", "stability rest", "half-CCA load test",
                          "standard charge", "stability rest", "half-CCA load test", "half-CCA load test"))
      << "its resistance tells which test decides, and it failed by little: once more when full, and once "
         "more with its clamps set anew";
  EXPECT_EQ(graded().letter, 'D') << graded().reason;
  EXPECT_EQ(graded().next_procedure, "reserve capacity") << "a second life is a matter of minutes";
  EXPECT_FALSE(file(ticket).ticket.needs_recharge);
  EXPECT_FALSE(next_work(file(ticket), policy));
}

}  // namespace
}  // namespace leadwright
