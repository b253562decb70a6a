// SPDX-License-Identifier: Apache-2.0
// Batteries in line for bays and charging places.
#include "tools/returns/queue_replay.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

People day_shop() {
  People people;
  people.opens = hours(8.0);
  people.closes = hours(18.0);
  return people;
}

/// `bay_hours` at a bay, then as long at a charging place.
std::vector<QueueLength> queues(double bay_hours, double a_day, std::vector<int> bays) {
  const std::vector<Stay> visit{{PlaceKind::bay, hours(0.0), hours(bay_hours)},
                                {PlaceKind::charging, hours(bay_hours), hours(2.0 * bay_hours)}};
  return replay_queue({visit}, {a_day, std::move(bays), {50}}, day_shop(), 1);
}

TEST(QueueReplay, a_place_that_is_free_is_never_waited_for) {
  const auto lengths = queues(0.01, 1.0, {50});
  ASSERT_EQ(lengths.size(), 1U);
  EXPECT_EQ(lengths[0].waiting_mean, 0.0);
  EXPECT_EQ(lengths[0].wait_mean, Second(0.0));
  EXPECT_TRUE(lengths[0].keeps_up);
}

TEST(QueueReplay, is_busy_for_what_is_asked_of_it) {
  // Ten a day of one hour on two bays: ten of 48 hours.
  const auto lengths = queues(1.0, 10.0, {2});
  EXPECT_NEAR(lengths[0].bays_busy, 10.0 / 48.0, 0.01);
  EXPECT_NEAR(lengths[0].charging_busy, 10.0 / (24.0 * 50.0), 0.001);
}

TEST(QueueReplay, more_bays_shorten_the_line) {
  const auto lengths = queues(2.0, 10.0, {1, 2, 4});
  ASSERT_EQ(lengths.size(), 3U);
  EXPECT_GT(lengths[0].wait_mean, lengths[1].wait_mean);
  EXPECT_GT(lengths[1].wait_mean, lengths[2].wait_mean);
  EXPECT_GT(lengths[0].waiting_most, lengths[2].waiting_most);
}

TEST(QueueReplay, says_that_too_few_places_never_keep_up) {
  const auto lengths = queues(3.0, 10.0, {1, 2});
  EXPECT_FALSE(lengths[0].keeps_up) << "30 hours of work a day";
  EXPECT_TRUE(lengths[1].keeps_up);
}

TEST(QueueReplay, the_same_seed_gives_the_same_line) {
  const auto first = queues(2.0, 10.0, {1});
  const auto second = queues(2.0, 10.0, {1});
  EXPECT_EQ(first[0].waiting_mean, second[0].waiting_mean);
  EXPECT_EQ(first[0].waiting_most, second[0].waiting_most);
}

TEST(QueueReplay, nothing_comes_of_no_visits) {
  EXPECT_TRUE(replay_queue({}, {10.0, {1}, {1}}, day_shop(), 1).empty());
}

}  // namespace
}  // namespace leadwright
