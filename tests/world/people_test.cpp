// SPDX-License-Identifier: Apache-2.0
// Names of people in the whole daemon: whatever is kept says codes, and after an erasure nothing says the
// name.
#include "daemon/settings/log.h"
#include "daemon/store/journal_codec.h"
#include "daemon/store/json.h"
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

constexpr const char* hand = "Zyxo Unusual";
constexpr const char* owner = "Quintus Customer";
constexpr const char* twenty_hours =
    R"({"battery":{"serial":"S-1","chemistry":"flooded","cells":6,"c20_ah":60,
  "reserve_capacity_min":100,"reserve_capacity_standard":"sae"},"procedures":["20-hour capacity"]})";

class PeopleTest : public WorldTest {
 protected:
  void SetUp() override {
    log_to([this](Level, std::string_view line) { log.append(line).append("\n"); });
    make_world();
  }
  void TearDown() override { log_to({}); }

  Response as(const std::string& actor, const std::string& verb, const std::string& subject = "",
              const std::string& body = "", const std::string& key = "") {
    Request request;
    request.verb = verb;
    request.subject = subject;
    request.body = body;
    request.actor = actor;
    request.idempotency = key;
    return world->ask(std::move(request));
  }
  Response by_hand(const std::string& verb, const std::string& subject = "", const std::string& body = "") {
    return as(std::string("page: ") + hand + ", unverified", verb, subject, body);
  }
  /// Everything that a person may do under a name: dropped off, carried, agreed to, paused, traced, stopped.
  void work_a_day() {
    const Response added = as(hand, "ticket.add", "", twenty_hours, "key-1");
    ASSERT_EQ(added.status, 201) << added.body;
    ticket = shown(world->bench().ledger().files().rbegin()->first);
    bring("x", "cell:sound,charged=1");
    ASSERT_TRUE(world->sim().move("x", bay));
    ASSERT_EQ(by_hand("ticket.move", ticket, R"({"place":"bay-1"})").status, 200);
    ASSERT_EQ(by_hand("place.acknowledge", bay, R"({"of":"cautions"})").status, 200);
    const Response started = by_hand("place.start", bay, R"({"consented_by":")" + std::string(owner) + "\"}");
    ASSERT_EQ(started.status, 202) << started.body;
    world->clock().run_for(minutes(40.0));
    ASSERT_EQ(by_hand("instrument.trace.set", "bay-1.load", R"({"on":true})").status, 200);
    ASSERT_EQ(by_hand("place.stop", bay, R"({"why":"wrong lead"})").status, 200);
    ASSERT_TRUE(world->finish(bay));
    ASSERT_EQ(by_hand("place.out_of_service", charging, R"({"why":"swept"})").status, 200);
    ASSERT_EQ(by_hand("stop.all", "", R"({"why":"smoke"})").status, 200);
    world->clock().run_for(Second(2.0));
  }
  std::string code_of(const std::string& name) {
    for (const auto& [id, person] : world->bench().people().all()) {
      if (person.name == name) return shown(id);
    }
    return "nobody";
  }
  Response erase(const std::string& code) {
    return as("the keeper", "person.erase", code, R"({"why":"asked for it"})");
  }
  /// All that the service says.
  std::string told() {
    std::string all = world->bench().snapshot();
    for (const char* verb :
         {"ticket.list", "place.list", "instrument.list", "procedure.list", "metrics", "person.list"})
      all += world->ask(verb).body;
    all += world->ask("ticket.show", ticket).body;
    all += world->ask("instrument.show", "bay-1.load").body;
    all += world->ask("instrument.trace", "bay-1.load").body;
    return all;
  }
  /// All that the store has, but for the samples.
  std::string kept() {
    std::string all;
    const StoredBench bench = world->store().everything().value();
    for (const auto& each : bench.tickets) all += to_json(each);
    for (const auto& each : bench.runs) all += to_json(each);
    for (const auto& each : bench.grades) all += to_json(each);
    for (const auto& each : bench.overrides) all += to_json(each);
    for (const auto& each : bench.places) all += each.name + each.latched_trip;
    for (const auto& each : bench.answers) all += each.key + each.asked + each.body;
    for (const auto& each : bench.journals) all += encode_journal(each.journal);
    for (const auto& each : world->store().audit()) all += to_json(each);
    return all;
  }
  std::string names_kept() {
    std::string all;
    const StoredBench bench = world->store().everything().value();
    for (const Person& each : bench.people) all += to_json(each);
    return all;
  }
  std::string ticket;
  std::string log;
};

TEST_F(PeopleTest, are_codes_in_whatever_is_kept_and_logged_and_have_their_name_in_one_table) {
  work_a_day();
  for (const char* name : {hand, owner}) {
    EXPECT_THAT(kept(), Not(HasSubstr(name)));
    EXPECT_THAT(log, Not(HasSubstr(name)));
    EXPECT_THAT(names_kept(), HasSubstr(name));
    EXPECT_THAT(told(), HasSubstr(name));
  }
  const std::string code = code_of(hand);
  EXPECT_THAT(kept(), AllOf(HasSubstr(R"("actor":"page: )" + code + R"(, unverified")"),
                            HasSubstr("stopped by person " + code + ": wrong lead"),
                            HasSubstr("stop all by person " + code + ": smoke")));
}

TEST_F(PeopleTest, are_named_nowhere_after_their_name_was_erased_and_what_they_did_stays_under_the_code) {
  work_a_day();
  const std::string of_hand = code_of(hand);
  const std::string of_owner = code_of(owner);
  const std::size_t rows = world->store().audit().size();
  const Response first = erase(of_hand);
  ASSERT_EQ(first.status, 200) << first.body;
  EXPECT_EQ(first.body, R"({"person":")" + of_hand + R"(","name":null})");
  ASSERT_EQ(erase(of_owner).status, 200);
  for (const char* name : {hand, owner}) {
    EXPECT_THAT(told(), Not(HasSubstr(name)));
    EXPECT_THAT(names_kept(), Not(HasSubstr(name)));
  }
  EXPECT_THAT(told(), HasSubstr(R"("given_by":")" + of_owner + R"(","recorded_by":")" + of_hand));
  EXPECT_THAT(told(), HasSubstr(R"({"person":")" + of_owner + R"(","name":null})"));
  ASSERT_EQ(world->store().audit().size(), rows + 2);
  const AuditEntry row = world->store().audit().back();
  EXPECT_EQ(row.actor + ' ' + row.what + ' ' + row.subject + ' ' + row.why,
            code_of("the keeper") + " person.erase " + of_owner + " asked for it");
  world->kill_and_restart();
  for (const char* name : {hand, owner}) EXPECT_THAT(told(), Not(HasSubstr(name)));
}

TEST_F(PeopleTest, who_come_back_after_an_erasure_are_somebody_else) {
  work_a_day();
  const std::string before = code_of(hand);
  ASSERT_EQ(erase(before).status, 200);
  world->kill_and_restart();
  ASSERT_EQ(by_hand("instrument.trace.set", "bay-1.load", R"({"on":false})").status, 200);
  EXPECT_NE(code_of(hand), before);
  EXPECT_NE(code_of(hand), "nobody");
}

TEST_F(PeopleTest, whose_request_was_refused_leave_no_name) {
  EXPECT_EQ(as(hand, "ticket.move", "T-000009-5", R"({"place":"shelf"})").status, 404);
  EXPECT_EQ(as(hand, "place.start", bay).status, 409);
  EXPECT_EQ(code_of(hand), "nobody");
  drop_off("S-1");
  EXPECT_THAT(names_kept(), Not(HasSubstr(hand)));
}

TEST_F(PeopleTest, are_erased_once_by_their_code_and_for_a_reason) {
  work_a_day();
  EXPECT_EQ(erase("P-99").status, 404);
  EXPECT_EQ(erase(hand).status, 404);
  EXPECT_EQ(as("the keeper", "person.erase", code_of(hand), "{}").status, 400);
  EXPECT_NE(code_of(hand), "nobody");
  const std::string code = code_of(hand);
  EXPECT_EQ(erase(code).status, 200);
  EXPECT_EQ(erase(code).status, 409);
}

TEST_F(PeopleTest, are_erased_for_good_also_where_the_store_fails_meanwhile) {
  StorePlan failing;
  failing.fail_share = 1.0;
  world->store().change_plan(failing);
  EXPECT_EQ(by_hand("alarm.test").status, 409);
  EXPECT_EQ(by_hand("stop.all").status, 200);
  world->clock().run_for(Second(0.1));
  const std::string code = code_of(hand);
  ASSERT_NE(code, "nobody");
  EXPECT_EQ(erase(code).status, 503) << "it is not known to be kept";
  world->store().change_plan({});
  world->clock().run_for(Second(5.0));
  EXPECT_THAT(names_kept(),
              AllOf(Not(HasSubstr(hand)), HasSubstr(R"({"person":")" + code + R"(","name":null})")));
  world->kill_and_restart();
  EXPECT_THAT(told(), Not(HasSubstr(hand)));
  EXPECT_THAT(kept(), HasSubstr(R"("actor":"page: )" + code));
}

}  // namespace
}  // namespace leadwright
