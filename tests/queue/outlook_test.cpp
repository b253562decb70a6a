// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/outlook.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/queue/planned_ticket.h"

namespace leadwright {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

std::vector<Ahead> outlook(const TicketFile& file, const Policy& policy = {}) {
  return outlook_of(file, policy, [](const Work& work) {
    return work.place_kind == PlaceKind::bay ? minutes(10.0) : hours(2.0);
  });
}

std::vector<std::string> procedures(const std::vector<Ahead>& ahead) {
  std::vector<std::string> names;
  for (const Ahead& each : ahead) names.push_back(each.work.procedure);
  return names;
}

TEST(Outlook, of_a_battery_that_just_came_tells_the_whole_chain_to_the_recharge) {
  const auto ahead = outlook(received());
  EXPECT_THAT(procedures(ahead),
              ElementsAre("intake check", "standard charge", "stability rest", "internal resistance",
                          "reserve capacity", "recharge before leaving"));
  for (const Ahead& each : ahead) EXPECT_NE(each.why.text(), "") << each.work.procedure;
  EXPECT_EQ(ahead[0].expected, minutes(10.0));
  EXPECT_EQ(ahead[1].expected, hours(2.0));
}

TEST(Outlook, has_the_load_test_first_where_it_may_decide_and_a_charge_after_it) {
  TicketFile file = rested_at(0.80);
  const auto ahead = outlook(file, asks_for_load());
  EXPECT_THAT(procedures(ahead),
              ElementsAre("internal resistance", "half-CCA load test", "standard charge", "stability rest",
                          "reserve capacity", "recharge before leaving"));
  EXPECT_THAT(ahead[2].why.text(), HasSubstr("fully charged"));
}

TEST(Outlook, says_why_a_flat_battery_is_charged_before_a_load_test) {
  const auto ahead = outlook(rested_at(0.40), asks_for_load());
  ASSERT_FALSE(ahead.empty());
  EXPECT_EQ(ahead.front().work.procedure, procedure_name::charge);
  EXPECT_EQ(ahead.front().why.text(), "A load test asks for 75 % of charge.");
}

TEST(Outlook, is_what_was_asked_for_where_somebody_asked) {
  TicketFile file = received();
  file.ticket.asked_procedures = {"charge retention"};
  const auto ahead = outlook(file);
  EXPECT_THAT(procedures(ahead), ElementsAre("charge retention"));
  EXPECT_THAT(ahead.front().why.text(), HasSubstr("asked for"));
}

TEST(Outlook, is_empty_for_a_faulty_or_closed_one) {
  TicketFile file = received();
  file.faults.push_back({});
  EXPECT_THAT(outlook(file), IsEmpty());
  TicketFile closed = received();
  closed.ticket.state = TicketState::closed;
  EXPECT_THAT(outlook(closed), IsEmpty());
}

TEST(Outlook, ends_also_if_a_procedure_never_counts_as_done) {
  TicketFile file = ready_for_capacity();
  EXPECT_LE(outlook(file, asks_for_load()).size(), 12U);
}

TEST(Outlook, is_told_in_json_with_units) {
  const Ahead rest{{"stability rest", PlaceKind::charging}, hours(1.0), say("because", "Because.")};
  EXPECT_EQ(outlook_json({rest}), R"([{"procedure":"stability rest","at":"charging","expected_s":3600,)"
                                  R"("why":"Because.","said":[{"code":"because","values":{}}]}])");
}

}  // namespace
}  // namespace leadwright
