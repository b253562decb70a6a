// SPDX-License-Identifier: Apache-2.0
// Consent: what the owner of a battery has not agreed to does not begin. Method: the wire of every instrument
// is recorded, and no message that switches an input or an output on may be on it.
#include <algorithm>

#include "daemon/queue/consent.h"
#include "tests/world/wire_log.h"
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

constexpr const char* twenty_hours = "20-hour capacity";
constexpr const char* named = R"({"procedure":"20-hour capacity","consented_by":" A. Owner "})";

class ConsentTest : public WorldTest {
 protected:
  void SetUp() override {
    WorldOptions options;
    options.tap = [this](const std::string&, bool outward, std::string_view bytes, Instant) {
      if (outward && WorldWireLog::energises(bytes)) ++switched_on;
    };
    make_world(std::move(options));
  }
  void clamp_on(const std::string& procedures) {
    bring("x", "cell:sound,charged=1");
    ticket = drop_off("S-1", "flooded", 6, procedures);
    carry("x", ticket, bay);
    world->ask("place.acknowledge", bay, R"({"of":"cautions"})");
  }
  Response start(const std::string& body) { return world->ask("place.start", bay, body); }
  std::vector<AuditEntry> consents() {
    std::vector<AuditEntry> rows = *world->store().audit_of(ticket);
    std::erase_if(rows, [](const AuditEntry& row) { return row.what != "run.consent"; });
    return rows;
  }

  std::string ticket;
  int switched_on = 0;
};

TEST_F(ConsentTest, what_needs_the_owners_consent_does_not_start_without_a_named_person) {
  clamp_on(twenty_hours);
  for (const char* body : {"", R"({"procedure":"20-hour capacity"})", R"({"consented_by":"  "})"}) {
    const Response refused = start(body);
    EXPECT_EQ(refused.status, 409) << body;
    EXPECT_THAT(refused.body, AllOf(HasSubstr("needs the owner's consent (complete discharge)"),
                                    HasSubstr(ticket), HasSubstr("--consented-by NAME")));
  }
  world->clock().run_for(minutes(10.0));
  EXPECT_EQ(switched_on, 0);
  EXPECT_TRUE(results.empty());
  EXPECT_TRUE(consents().empty());
}

TEST_F(ConsentTest, a_name_of_control_characters_or_beyond_all_length_is_none) {
  clamp_on(twenty_hours);
  EXPECT_EQ(start(R"({"consented_by":"A\u0007"})").status, 400);
  EXPECT_EQ(start(R"({"consented_by":")" + std::string(201, 'a') + R"("})").status, 400);
  EXPECT_EQ(switched_on, 0);
}

TEST_F(ConsentTest, a_consent_is_kept_with_its_run_and_its_name_is_not_in_the_audit) {
  clamp_on(twenty_hours);
  ASSERT_EQ(start(named).status, 202);
  world->clock().run_for(hours(1.0));
  EXPECT_GT(switched_on, 0);
  ASSERT_EQ(consents().size(), 1U);
  EXPECT_EQ(consents()[0].actor, "P-1");
  EXPECT_THAT(consents()[0].why,
              AllOf(HasSubstr("complete discharge"), HasSubstr("R-000001"), Not(HasSubstr("Owner"))));

  world->kill();
  world->restart();
  ASSERT_EQ(file(ticket).runs.size(), 1U);
  const auto& consent = file(ticket).runs[0].consent;
  ASSERT_TRUE(consent);
  EXPECT_EQ(consent->to, "complete discharge");
  EXPECT_EQ(consent->given_by, "P-2");
  EXPECT_EQ(consent->recorded_by, "P-1");
  EXPECT_THAT(world->ask("ticket.show", ticket).body,
              AllOf(HasSubstr(R"("given_by":"P-2")"), HasSubstr(R"({"person":"P-2","name":"A. Owner"})")));
}

TEST_F(ConsentTest, one_consent_is_for_one_run) {
  clamp_on(twenty_hours);
  ASSERT_EQ(start(named).status, 202);
  world->clock().run_for(minutes(40.0));
  ASSERT_EQ(world->ask("place.stop", bay, R"({"why":"wrong lead"})").status, 200);
  ASSERT_TRUE(world->finish(bay));
  EXPECT_THAT(start("").body, HasSubstr("needs the owner's consent"));
}

TEST_F(ConsentTest, a_bench_that_goes_on_by_itself_stops_before_what_needs_consent) {
  clamp_on(R"(internal resistance","20-hour capacity)");
  ASSERT_EQ(start("").status, 202);
  ASSERT_TRUE(world->finish(bay));
  ASSERT_EQ(results.size(), 1U);
  EXPECT_EQ(results[0].run.outcome, RunOutcome::complete) << results[0].run.end_reason;
  world->clock().run_for(minutes(10.0));
  EXPECT_EQ(results.size(), 1U);
  EXPECT_THAT(
      world->bench().snapshot(),
      AllOf(HasSubstr("start the 20-hour capacity at bay-1 with the owner's consent (complete "
                      "discharge)"),
            HasSubstr(R"("needs_of":"start_with_consent")"), HasSubstr(R"("consent":"complete discharge")")));
}

TEST_F(ConsentTest, nobody_is_named_where_nothing_is_to_be_agreed_to) {
  clamp_on("internal resistance");
  const Response refused = start(R"({"consented_by":"A. Owner"})");
  EXPECT_EQ(refused.status, 400);
  EXPECT_THAT(refused.body, HasSubstr("needs nobody's consent"));
}

TEST_F(ConsentTest, a_policy_that_leaves_it_to_the_owner_asks_before_any_complete_discharge) {
  clamp_on("reserve capacity");
  const auto shipped = load_procedures(LEADWRIGHT_SOURCE_DIR "/config/procedures");
  ASSERT_TRUE(shipped);
  Policy leaves_it;
  leaves_it.complete_discharge = CompleteDischarge::with_consent;
  std::vector<std::string> asked;
  for (const Procedure& each : *shipped) {
    if (!each.consent.empty()) continue;
    EXPECT_EQ(consent_needed(file(ticket), each, Policy{}), "") << each.name;
    if (!consent_needed(file(ticket), each, leaves_it).empty()) asked.push_back(each.name);
  }
  EXPECT_THAT(asked, testing::UnorderedElementsAre("reserve capacity", "reserve capacity until decided"));
}

TEST_F(ConsentTest, a_new_battery_is_never_discharged_without_recorded_consent) {
  clamp_on("new-battery confirmation");
  ASSERT_EQ(start("").status, 202);
  ASSERT_TRUE(world->finish(bay, hours(10.0)));
  ASSERT_EQ(results.size(), 1U);
  EXPECT_EQ(results[0].run.outcome, RunOutcome::complete) << results[0].run.end_reason;
  EXPECT_EQ(switched_on, 0) << "the confirmation itself draws nothing";

  int drawing = 0;
  const auto shipped = load_procedures(LEADWRIGHT_SOURCE_DIR "/config/procedures");
  ASSERT_TRUE(shipped);
  for (const Procedure& each : *shipped) {
    if (std::ranges::none_of(each.steps, [](const Step& step) { return draws(step.kind); })) continue;
    ++drawing;
    EXPECT_NE(consent_needed(file(ticket), each, Policy{}), "") << each.name;
    EXPECT_NE(start(R"({"procedure":")" + each.name + R"("})").status, 202) << each.name;
  }
  EXPECT_GT(drawing, 8);
  world->clock().run_for(minutes(30.0));
  EXPECT_EQ(switched_on, 0);
  EXPECT_EQ(results.size(), 1U);

  ASSERT_EQ(start(R"({"procedure":"internal resistance","consented_by":"A. Owner"})").status, 202);
  ASSERT_TRUE(world->finish(bay));
  EXPECT_GT(switched_on, 0);
  ASSERT_EQ(consents().size(), 1U);
  ASSERT_TRUE(file(ticket).runs.back().consent);
  EXPECT_EQ(file(ticket).runs.back().consent->to, "discharge of a new battery");
}

}  // namespace
}  // namespace leadwright
