// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/suggestion.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace leadwright {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;

Utc hour(double h) {
  return Utc(static_cast<std::int64_t>(h * 3600e9));
}

WaitingTicket waits(const std::string& ticket, double price_min, PlaceKind wants = PlaceKind::bay) {
  WaitingTicket one{ticket, wants, "half-CCA load test", hour(1.0), {}, {}};
  one.ahead = Way{Way::Begins::load, 0.1, hours(1.0), hours(2.0), minutes(10.0), minutes(price_min)};
  return one;
}

TEST(Suggestion, is_the_one_whose_letter_costs_least) {
  const auto all =
      suggestions_for({{{"bay-1", PlaceKind::bay}}, {waits("T-1", 30.0), waits("T-2", 20.0)}}, {});
  ASSERT_THAT(all, SizeIs(1));
  EXPECT_EQ(all[0].place, "bay-1");
  EXPECT_EQ(all[0].ticket, "T-2");
  EXPECT_THAT(all[0].why.text(), HasSubstr("cost least: 1.0 h of a bay, 2.0 h of a charging place"));
}

TEST(Suggestion, is_the_promised_one_where_it_would_be_late_behind_another) {
  WaitingTicket promised = waits("T-1", 30.0);
  promised.promised_at = hour(14.0);
  // It needs three hours, and the cheaper one would take the bay for one before it.
  const FreeAndWaiting found{{{"bay-1", PlaceKind::bay}}, {promised, waits("T-2", 20.0)}};
  const auto late = suggestions_for(found, hour(10.5));
  ASSERT_THAT(late, SizeIs(1));
  EXPECT_EQ(late[0].ticket, "T-1");
  EXPECT_THAT(late[0].why.text(), HasSubstr("needs some 3.0 h more"));
  EXPECT_EQ(suggestions_for(found, hour(9.5))[0].ticket, "T-2") << "time enough for both";
}

TEST(Suggestion, sends_no_battery_to_two_places_nor_to_one_of_another_kind) {
  const auto all = suggestions_for({{{"bay-1", PlaceKind::bay}, {"bay-2", PlaceKind::bay}},
                                    {waits("T-1", 30.0), waits("T-2", 20.0, PlaceKind::charging)}},
                                   {});
  ASSERT_THAT(all, SizeIs(1));
  EXPECT_EQ(all[0].ticket, "T-1");
  EXPECT_THAT(all[0].why.text(), HasSubstr("Nothing else waits"));
  EXPECT_THAT(suggestions_for({{{"bay-1", PlaceKind::bay}}, {}}, {}), IsEmpty());
}

TEST(Suggestion, is_the_first_that_came_where_nothing_is_priced) {
  WaitingTicket later = waits("T-1", 0.0);
  later.ahead.reset();
  later.received_at = hour(2.0);
  WaitingTicket first = later;
  first.ticket = "T-2";
  first.received_at = hour(1.5);
  const auto all = suggestions_for({{{"bay-1", PlaceKind::bay}}, {later, first}}, {});
  ASSERT_THAT(all, SizeIs(1));
  EXPECT_EQ(all[0].ticket, "T-2");
  EXPECT_THAT(all[0].why.text(), HasSubstr("came first"));
  const auto with_letter = suggestions_for({{{"bay-1", PlaceKind::bay}}, {first, waits("T-3", 90.0)}}, {});
  EXPECT_EQ(with_letter[0].ticket, "T-3") << "a letter comes before a mere recharge";
}

TEST(Suggestion, is_told_in_json_with_its_phrases) {
  const auto all = suggestions_for({{{"bay-1", PlaceKind::bay}}, {waits("T-1", 30.0)}}, {});
  EXPECT_EQ(suggestions_json(all), R"([{"place":"bay-1","ticket":"T-1","procedure":"half-CCA load test",)"
                                   R"("why":"Nothing else waits for a place of this kind.",)"
                                   R"("said":[{"code":"suggest_only","values":{}}]}])");
  EXPECT_EQ(suggestions_json({}), "[]");
}

}  // namespace
}  // namespace leadwright
