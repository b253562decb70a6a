// SPDX-License-Identifier: Apache-2.0
#include "drivers/wire_trace.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "drivers/wire_text.h"
#include "world.h"

namespace leadwright {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::MatchesRegex;
using testing::SizeIs;

struct Traced : LoadWorld {
  std::shared_ptr<WireTrace> trace = std::make_shared<WireTrace>(clock, clock);
  std::vector<std::string> others;

  std::vector<std::string> heard(std::uint64_t after = 0) const {
    std::vector<std::string> lines;
    for (const WireTrace::Line& line : trace->after(after)) {
      lines.push_back(std::string(word(line.way)) + " " + escaped(line.bytes));
    }
    return lines;
  }
  void hear_as_well() {
    link->tap = [this](const std::string&, bool outward, std::string_view bytes, Instant) {
      others.push_back((outward ? "> " : "< ") + escaped(bytes));
    };
  }
};

TEST_F(Traced, hears_both_ways_with_the_time_of_both_clocks) {
  connect();
  WireTrace::listen(trace, *link);
  const Instant zero = clock.now();
  device.answer_delays["MEAS:VOLT?;:MEAS:CURR?"] = Second(0.030);
  ASSERT_TRUE(run(load->sample()));
  ASSERT_THAT(heard(), SizeIs(2));
  EXPECT_THAT(heard()[0], MatchesRegex("out \\*ESE ...;MEAS:VOLT\\?;:MEAS:CURR\\?;\\*ESE\\?\\\\n"));
  EXPECT_THAT(heard()[1], MatchesRegex("in 12.600;0.000;...\\\\n"));
  const WireTrace::Line answer = trace->after(1).front();
  EXPECT_EQ(answer.number, 2U);
  EXPECT_NEAR((answer.at - zero).si(), 0.030, 1e-9);
  EXPECT_EQ(answer.bench_at, clock.utc());
}

TEST_F(Traced, hears_the_off_path) {
  connect();
  WireTrace::listen(trace, *link);
  load->off_now();
  ASSERT_THAT(heard(), SizeIs(1));
  EXPECT_EQ(heard().front().substr(0, 11), "out INP OFF");
}

TEST_F(Traced, leaves_whoever_heard_the_link_before_as_they_were) {
  connect();
  hear_as_well();
  ASSERT_TRUE(run(load->sample()));
  ASSERT_THAT(others, SizeIs(2));
  WireTrace::listen(trace, *link);
  ASSERT_TRUE(run(load->sample()));
  trace->leave(*link);
  ASSERT_TRUE(run(load->sample()));
  ASSERT_THAT(others, SizeIs(6));
  for (std::size_t i = 0; i < others.size(); i += 2) {
    EXPECT_THAT(others[i], HasSubstr("> *ESE "));
    EXPECT_THAT(others[i + 1], HasSubstr("< 12.600;"));
  }
  EXPECT_THAT(heard(), SizeIs(2)) << "only while it was on";
}

TEST_F(Traced, costs_nothing_and_keeps_its_lines_when_it_is_off) {
  connect();
  WireTrace::listen(trace, *link);
  ASSERT_TRUE(run(load->sample()));
  trace->leave(*link);
  EXPECT_FALSE(link->tap) << "a link that nobody hears makes no call";
  EXPECT_THAT(heard(), SizeIs(2));
  WireTrace::listen(trace, *link);
  ASSERT_TRUE(run(load->sample()));
  EXPECT_THAT(heard(), SizeIs(4));
  EXPECT_EQ(trace->newest(), 4U);
}

TEST_F(Traced, is_switched_on_once_however_often_it_is_asked_for) {
  connect();
  hear_as_well();
  WireTrace::listen(trace, *link);
  WireTrace::listen(trace, *link);
  ASSERT_TRUE(run(load->sample()));
  EXPECT_THAT(heard(), SizeIs(2));
  EXPECT_THAT(others, SizeIs(2));
  trace->leave(*link);
  trace->leave(*link);
  ASSERT_TRUE(run(load->sample()));
  EXPECT_THAT(others, SizeIs(4));
}

TEST_F(Traced, may_be_let_go_of_while_it_listens) {
  connect();
  WireTrace::listen(trace, *link);
  trace.reset();
  EXPECT_TRUE(run(load->sample()));
}

TEST_F(Traced, tells_only_what_is_newer_than_a_line) {
  trace->note("one");
  trace->note("two");
  trace->note("three");
  EXPECT_THAT(heard(1), ElementsAre("note two", "note three"));
  EXPECT_THAT(heard(3), IsEmpty());
  EXPECT_THAT(heard(99), IsEmpty());
}

TEST_F(Traced, keeps_the_newest_lines_and_says_where_they_begin) {
  EXPECT_EQ(trace->oldest(), 0U);
  for (std::size_t i = 0; i < WireTrace::lines_max + 5; ++i) trace->note(std::to_string(i));
  EXPECT_THAT(heard(), SizeIs(WireTrace::lines_max));
  EXPECT_EQ(trace->oldest(), 6U);
  EXPECT_EQ(trace->newest(), WireTrace::lines_max + 5);
  EXPECT_EQ(heard().front(), "note 5");
  EXPECT_EQ(heard().back(), "note " + std::to_string(WireTrace::lines_max + 4));
}

TEST_F(Traced, never_holds_more_bytes_than_its_ring_and_loses_none_of_a_line_in_it) {
  for (std::size_t i = 0; i < 500; ++i) {
    const std::size_t size = 1 + i * 37 % WireTrace::line_bytes_max;
    trace->note(std::string(size, static_cast<char>('a' + i % 26)));
    std::size_t sum = 0;
    for (const WireTrace::Line& line : trace->after(0)) {
      const std::size_t made = line.number - 1;
      ASSERT_EQ(line.bytes,
                std::string(1 + made * 37 % WireTrace::line_bytes_max, static_cast<char>('a' + made % 26)));
      sum += line.bytes.size();
    }
    ASSERT_LE(sum, WireTrace::bytes_max);
  }
  EXPECT_GT(trace->oldest(), 1U);
}

TEST_F(Traced, cuts_an_endless_line_and_says_how_long_it_was) {
  trace->note(std::string(5000, 'x'));
  EXPECT_EQ(trace->after(0).front().bytes.size(), WireTrace::line_bytes_max);
  EXPECT_EQ(trace->after(0).front().length, 5000U);
}

TEST(WireText, escapes_what_can_not_be_printed) {
  EXPECT_EQ(escaped("*IDN?\r\n"), "*IDN?\\r\\n");
  EXPECT_EQ(escaped(std::string_view("a\0\\\t\xff", 5)), "a\\x00\\\\\\t\\xff");
}

// Frame: request of function 3 in the Modbus application protocol specification, unit 1, with its CRC.
TEST(WireText, shows_a_binary_frame_as_hex_and_a_damaged_line_as_text) {
  const std::string_view frame("\x01\x03\x00\x6b\x00\x03\x74\x17", 8);
  EXPECT_TRUE(is_binary(frame));
  EXPECT_EQ(hex(frame), "01 03 00 6b 00 03 74 17");
  EXPECT_FALSE(is_binary("12.6\xb0;25.000\n"));
  EXPECT_FALSE(is_binary(""));
  EXPECT_EQ(hex(""), "");
}

}  // namespace
}  // namespace leadwright
