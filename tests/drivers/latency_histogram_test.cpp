// SPDX-License-Identifier: Apache-2.0
#include "drivers/latency_histogram.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>
#include <vector>

#include "world.h"

namespace leadwright {
namespace {

constexpr std::int64_t ms = 1'000'000;

void add(LatencyHistogram& histogram, std::int64_t ns) {
  histogram.add(Instant(7), Instant(7 + ns));
}

TEST(Latency, has_buckets_that_double_from_a_tenth_of_a_millisecond_to_three_seconds) {
  EXPECT_DOUBLE_EQ(LatencyHistogram::upper(0).si(), 0.0001);
  EXPECT_DOUBLE_EQ(LatencyHistogram::upper(1).si(), 0.0002);
  EXPECT_DOUBLE_EQ(LatencyHistogram::upper(LatencyHistogram::bounds - 1).si(), 3.2768);
}

TEST(Latency, counts_a_time_that_equals_an_upper_end_below_it) {
  for (std::size_t bucket = 0; bucket < LatencyHistogram::bounds; ++bucket) {
    LatencyHistogram histogram;
    add(histogram, std::int64_t{100'000} << bucket);
    EXPECT_EQ(histogram.in_bucket(bucket), 1U) << bucket;
    add(histogram, (std::int64_t{100'000} << bucket) + 1);
    EXPECT_EQ(histogram.in_bucket(bucket + 1), 1U) << bucket;
  }
}

TEST(Latency, takes_no_time_at_all_and_an_hour) {
  LatencyHistogram histogram;
  add(histogram, 0);
  add(histogram, 3'600'000 * ms);
  EXPECT_EQ(histogram.in_bucket(0), 1U);
  EXPECT_EQ(histogram.in_bucket(LatencyHistogram::bounds), 1U);
  EXPECT_EQ(histogram.count(), 2U);
  EXPECT_DOUBLE_EQ(histogram.worst().si(), 3600.0);
  EXPECT_DOUBLE_EQ(histogram.sum().si(), 3600.0);
  EXPECT_DOUBLE_EQ(histogram.percentile(1.0)->estimate.si(), 3600.0);
}

TEST(Latency, has_no_percentile_before_the_first_exchange) {
  EXPECT_FALSE(LatencyHistogram().percentile(0.5));
}

TEST(Latency, of_one_exchange_is_that_exchange_at_the_most) {
  LatencyHistogram histogram;
  add(histogram, 5 * ms);
  for (const double share : {0.01, 0.5, 0.99, 1.0}) {
    const auto percentile = histogram.percentile(share);
    EXPECT_DOUBLE_EQ(percentile->from.si(), 0.0032);
    EXPECT_DOUBLE_EQ(percentile->to.si(), 0.005) << "no more than the worst";
    EXPECT_DOUBLE_EQ(percentile->estimate.si(), 0.005);
  }
}

TEST(Latency, bounds_hold_the_true_percentile_of_any_times) {
  for (std::uint64_t seed = 1; seed <= 50; ++seed) {
    std::mt19937_64 random(seed);
    LatencyHistogram histogram;
    std::vector<std::int64_t> times;
    for (int i = 0; i < 1000; ++i) {
      times.push_back(static_cast<std::int64_t>(random() % (std::uint64_t{1} << (10 + random() % 24))));
      add(histogram, times.back());
    }
    std::ranges::sort(times);
    for (const std::size_t of_thousand : {500U, 990U}) {
      const double truth = static_cast<double>(times[of_thousand - 1]) * 1e-9;
      const auto percentile = histogram.percentile(static_cast<double>(of_thousand) / 1000.0);
      EXPECT_GE(truth, percentile->from.si()) << "seed=" << seed;
      EXPECT_LE(truth, percentile->to.si() + 1e-12) << "seed=" << seed;
      EXPECT_GE(percentile->estimate, percentile->from);
      EXPECT_LE(percentile->estimate, percentile->to);
    }
  }
}

struct Replies : LoadWorld {};

TEST_F(Replies, are_timed_from_the_question_to_the_whole_answer) {
  connect();
  const LatencyHistogram before = load->counters().replies;
  device.answer_delays["MEAS:VOLT?;:MEAS:CURR?"] = Second(0.030);
  ASSERT_TRUE(run(load->sample()));
  const LatencyHistogram& after = load->counters().replies;
  EXPECT_EQ(after.count(), before.count() + 1);
  EXPECT_NEAR(after.worst().si(), 0.030, 1e-9);
  EXPECT_EQ(after.in_bucket(9), before.in_bucket(9) + 1) << "25.6 ms to 51.2 ms";
}

TEST_F(Replies, do_not_count_what_was_never_answered) {
  connect();
  const std::uint64_t before = load->counters().replies.count();
  device.is_mute = true;
  ASSERT_FALSE(run(load->sample()));
  EXPECT_EQ(load->counters().replies.count(), before);
  EXPECT_GT(load->counters().time_outs, 0U);
}

}  // namespace
}  // namespace leadwright
