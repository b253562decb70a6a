// SPDX-License-Identifier: Apache-2.0
#include "daemon/settings/log.h"

#include <gmock/gmock.h>

#include <thread>
#include <vector>

namespace leadwright {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;

TEST(Log, writes_an_event_as_keys_and_values) {
  EXPECT_EQ(log_line("run.started", {{"run", "R-000001"}, {"volts_v", "12.6"}}),
            "event=run.started run=R-000001 volts_v=12.6");
}

TEST(Log, quotes_what_would_make_another_key_or_line) {
  EXPECT_EQ(log_line("x", {{"why", "a b"}}), "event=x why=\"a b\"");
  EXPECT_EQ(log_line("x", {{"why", "a=b"}}), "event=x why=\"a=b\"");
  EXPECT_EQ(log_line("x", {{"why", "1\nevent=trip"}}), "event=x why=\"1\\nevent=trip\"");
  EXPECT_EQ(log_line("x", {{"why", "\"\\\x1b"}}), "event=x why=\"\\\"\\\\\\x1b\"");
  EXPECT_EQ(log_line("x", {{"why", ""}}), "event=x why=\"\"");
}

TEST(Log, gives_each_event_to_a_sink_at_once) {
  std::vector<std::string> lines;
  log_to([&](Level level, std::string_view line) {
    EXPECT_EQ(level, Level::warning);
    lines.emplace_back(line);
  });
  log_event(Level::warning, "a");
  log_event(Level::warning, "b", {{"n", "1"}});
  log_to({});
  log_event(Level::warning, "c");
  EXPECT_THAT(lines, ElementsAre("event=a", "event=b n=1"));
}

TEST(Log, writes_every_line_with_its_priority_before_it_stops) {
  ::testing::internal::CaptureStderr();
  start_log(Level::info);
  log_event(Level::debug, "too.quiet");
  log_event(Level::info, "one");
  log_event(Level::critical, "two", {{"bay", "bay-1"}});
  stop_log();
  log_event(Level::critical, "too.late");
  EXPECT_EQ(::testing::internal::GetCapturedStderr(), "<6>event=one\n<2>event=two bay=bay-1\n");
}

TEST(Log, takes_lines_from_several_threads_whole) {
  constexpr int lines_each = 500;
  ::testing::internal::CaptureStderr();
  start_log(Level::debug);
  const auto write = [] {
    for (int i = 0; i < lines_each; ++i) log_event(Level::info, "tick", {{"text", "a b"}});
  };
  std::thread other(write);
  write();
  other.join();
  EXPECT_EQ(log_drops(), 0U);
  stop_log();
  const std::string all = ::testing::internal::GetCapturedStderr();
  const std::string line = "<6>event=tick text=\"a b\"\n";
  EXPECT_EQ(all.size(), line.size() * 2 * lines_each);
  for (std::size_t at = 0; at < all.size(); at += line.size()) ASSERT_EQ(all.substr(at, line.size()), line);
}

}  // namespace
}  // namespace leadwright
