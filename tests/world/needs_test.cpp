// SPDX-License-Identifier: Apache-2.0
// What the queue says that a person has to do: where, and only while there is something to do.
#include <boost/json.hpp>

#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

namespace json = boost::json;

class NeedsTest : public WorldTest {
 protected:
  void begin(int charging_places) {
    make_world({}, charging_places);
    bring("x", "cell:discharged");
    ticket = drop_off("S-1");
    carry("x", ticket, bay);
  }
  json::object row() {
    const json::value bench = json::parse(world->bench().snapshot());
    return bench.at("queue").at(0).as_object();
  }
  /// The code of what it needs, or null.
  json::value needs() { return row().at("needs_of"); }
  std::string ticket;
};

TEST_F(NeedsTest, a_charge_is_carried_to_a_charging_place_where_there_is_one) {
  begin(1);
  work(bay);
  EXPECT_EQ(file(ticket).newest_run()->procedure, "intake check");
  EXPECT_EQ(row().at("next").at("place_kind"), "charging");
  EXPECT_EQ(needs(), "move");
}

TEST_F(NeedsTest, a_bay_goes_on_with_the_charge_by_itself_where_no_place_is_for_charging) {
  begin(0);
  EXPECT_EQ(needs(), "start");
  work(bay);
  EXPECT_TRUE(file(ticket).grade) << file(ticket).ticket.state_reason;
}

TEST_F(NeedsTest, nothing_is_needed_while_it_runs_and_an_answer_after_a_trip) {
  begin(0);
  ASSERT_EQ(world->start(bay).status, 202);
  world->clock().run_for(Second(30.0));
  EXPECT_TRUE(needs().is_null()) << json::serialize(row());
  world->sim().instrument("bay-1.thermometer")->set_fault(SimInstrument::Fault::reads_tenfold, true);
  ASSERT_TRUE(world->finish(bay));
  ASSERT_EQ(results.back().run.outcome, RunOutcome::tripped);
  world->clock().run_for(Second(5.0));
  EXPECT_EQ(needs(), "answer");
}

}  // namespace
}  // namespace leadwright
