// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/chart.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <limits>

namespace leadwright {
namespace {

using testing::EndsWith;
using testing::StartsWith;

constexpr RunId first_run{1};
constexpr RunId second_run{2};

void append(Trace& trace, std::size_t count) {
  for (std::size_t i = 0; i < count; ++i) {
    Sample sample;
    sample.at = Second(static_cast<double>(trace.samples.size()));
    sample.volts = Volt(12.5);
    sample.amps = Ampere(-0.001);
    trace.samples.push_back(sample);
  }
}

std::size_t points(const std::string& json) {
  return static_cast<std::size_t>(std::ranges::count(json, '[')) - 1;
}

TEST(Chart, of_a_run_without_samples_is_an_empty_list) {
  Chart chart;
  EXPECT_EQ(chart.json(first_run, Trace()), "[]");
}

TEST(Chart, shows_each_sample_of_a_short_trace_with_what_is_missing_as_null) {
  Trace trace;
  append(trace, 1);
  trace.samples.push_back({});
  Chart chart;
  EXPECT_EQ(chart.json(first_run, trace), "[[0,12.500,0.00],[0,null,null]]");
}

TEST(Chart, is_the_same_whether_the_trace_came_at_once_or_bit_by_bit) {
  Trace trace;
  Chart grown;
  for (int i = 0; i < 700; ++i) {
    append(trace, 7);
    grown.json(first_run, trace);
  }
  Chart at_once;
  EXPECT_EQ(grown.json(first_run, trace), at_once.json(first_run, trace));
}

TEST(Chart, keeps_the_first_sample_and_every_so_many_of_a_long_trace) {
  Trace trace;
  append(trace, Chart::points_max);
  Chart chart;
  EXPECT_EQ(points(chart.json(first_run, trace)), Chart::points_max);
  append(trace, 1);
  const std::string json = chart.json(first_run, trace);
  EXPECT_EQ(points(json), Chart::points_max / 2 + 1);
  EXPECT_THAT(json, StartsWith("[[0,12.500,0.00],[2,12.500,0.00],[4,"));
  EXPECT_THAT(json, EndsWith(",[240,12.500,0.00]]"));
  append(trace, 100'000);
  EXPECT_LE(points(chart.json(first_run, trace)), Chart::points_max);
  EXPECT_GT(points(chart.json(first_run, trace)), Chart::points_max / 2);
}

TEST(Chart, begins_anew_with_another_run) {
  Trace trace;
  append(trace, 50);
  Chart chart;
  chart.json(first_run, trace);
  trace.samples.resize(3);
  EXPECT_EQ(points(chart.json(second_run, trace)), 3U);
}

TEST(Chart, has_room_for_any_number_and_no_minus_before_zero) {
  EXPECT_EQ(chart_number(-0.0004, 3), "0.000");
  EXPECT_EQ(chart_number(-12.3456, 3), "-12.346");
  EXPECT_EQ(chart_number(std::nullopt, 3), "null");
  EXPECT_EQ(chart_number(std::numeric_limits<double>::max(), 3).size(), 309U + 4U);
}

}  // namespace
}  // namespace leadwright
