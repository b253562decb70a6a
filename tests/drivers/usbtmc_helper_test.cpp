// SPDX-License-Identifier: Apache-2.0
// What holds while the helper of a USBTMC link is blocked in the kernel: urgent bytes, deadlines, the end.
// Time is measured by the order of what reaches the device.
#include "usbtmc_bench.h"

namespace leadwright {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::Not;

using UsbtmcHelperTest = UsbtmcBench;

TEST_F(UsbtmcHelperTest, sends_urgent_lines_next_and_what_was_queued_before_them_never) {
  BlockedRead reading(*this);
  std::optional<Result<void>> energised;
  const Job job(loop, keep(link->write("INP ON\n", soon()), energised));
  EXPECT_TRUE(link->urgent("INP OFF\nCURR 0\n"));
  device.offer({"1\n"});
  EXPECT_EQ(reading.bytes(), "1\n");
  run_until([&energised] { return energised.has_value(); });
  ASSERT_FALSE(*energised);
  EXPECT_EQ(energised->error().code, Errc::stopped);
  EXPECT_EQ(ask("MEAS:CURR?\n"), "3.25\n");
  EXPECT_THAT(device.log(), ElementsAre("write *OPC?\n", "read", "write INP OFF\n", "write CURR 0\n",
                                        "write MEAS:CURR?\n", "read"));
}

TEST_F(UsbtmcHelperTest, sends_urgent_lines_again_after_a_clear_that_the_device_may_have_forgotten_them_by) {
  BlockedRead reading(*this);
  EXPECT_TRUE(link->urgent("INP OFF\n"));
  device.fail_waiting(ETIMEDOUT);
  ASSERT_FALSE(reading.result());
  EXPECT_EQ(ask("MEAS:CURR?\n"), "3.25\n");
  EXPECT_THAT(device.log(), ElementsAre("write *OPC?\n", "read", "write INP OFF\n", "abort in", "clear",
                                        "write INP OFF\n", "write MEAS:CURR?\n", "read"));
}

TEST_F(UsbtmcHelperTest, does_not_repeat_urgent_lines_once_a_later_answer_came) {
  EXPECT_TRUE(link->urgent("INP OFF\n"));
  EXPECT_EQ(ask("MEAS:CURR?\n"), "3.25\n");
  ASSERT_TRUE(write("INP ON\n"));
  ASSERT_TRUE(run(link->clear(soon())));
  EXPECT_THAT(device.log(), ElementsAre("write INP OFF\n", "write MEAS:CURR?\n", "read", "write INP ON\n",
                                        "abort in", "clear"));
}

TEST_F(UsbtmcHelperTest, promises_nothing_while_the_device_is_cleared_but_sends_urgent_lines_all_the_same) {
  device.hold(FuseUsbtmc::Call::clear);
  std::optional<Result<void>> cleared;
  const Job job(loop, keep(link->clear(soon()), cleared));
  ASSERT_TRUE(device.await("held clear"));
  EXPECT_FALSE(link->urgent("INP OFF\n"));
  device.release();
  EXPECT_TRUE(device.await("write INP OFF\n"));
  run_until([&cleared] { return cleared.has_value(); });
  EXPECT_TRUE(*cleared);
}

TEST_F(UsbtmcHelperTest, takes_the_same_urgent_lines_any_number_of_times_while_it_is_blocked) {
  BlockedRead reading(*this);
  for (int i = 0; i < 1000; ++i) EXPECT_TRUE(link->urgent("INP OFF\nCURR 0\n"));
  device.offer({"1\n"});
  EXPECT_EQ(reading.bytes(), "1\n");
  EXPECT_EQ(ask("MEAS:CURR?\n"), "3.25\n");
  EXPECT_EQ(std::ranges::count(device.log(), "write INP OFF\n"), 1);
}

TEST_F(UsbtmcHelperTest, sends_no_line_that_is_blank) {
  EXPECT_TRUE(link->urgent("\n"));
  EXPECT_EQ(ask("MEAS:CURR?\n"), "3.25\n");
  EXPECT_THAT(device.log(), ElementsAre("write MEAS:CURR?\n", "read"));
}

TEST_F(UsbtmcHelperTest, gives_up_a_read_at_its_deadline_and_drops_the_answer_that_comes_late) {
  BlockedRead reading(*this, moment);
  const Result<std::size_t> count = reading.result();
  ASSERT_FALSE(count);
  EXPECT_EQ(count.error().code, Errc::timed_out);
  device.offer({"1\n"});
  EXPECT_EQ(ask("MEAS:CURR?\n"), "3.25\n");
  EXPECT_THAT(device.log(), ElementsAre("write *OPC?\n", "read", "write MEAS:CURR?\n", "read"))
      << "the late answer was read to its end: there is nothing to clear";
}

TEST_F(UsbtmcHelperTest, clears_what_is_left_of_an_answer_that_nobody_waits_for) {
  BlockedRead reading(*this);
  reading.abandon();
  device.offer({"half of ", false});
  EXPECT_EQ(ask("MEAS:CURR?\n"), "3.25\n");
  EXPECT_THAT(device.log(),
              ElementsAre("write *OPC?\n", "read", "abort in", "clear", "write MEAS:CURR?\n", "read"));
}

TEST_F(UsbtmcHelperTest, never_sends_a_message_whose_deadline_passed_in_the_queue) {
  BlockedRead reading(*this);
  const Result<void> late = run(link->write("INP ON\n", clock.now() + moment));
  ASSERT_FALSE(late);
  EXPECT_EQ(late.error().code, Errc::timed_out);
  device.offer({"1\n"});
  EXPECT_EQ(reading.bytes(), "1\n");
  EXPECT_EQ(ask("MEAS:CURR?\n"), "3.25\n");
  EXPECT_THAT(device.log(), Not(Contains("write INP ON\n")));
}

TEST_F(UsbtmcHelperTest, clears_the_device_after_a_message_that_went_out_too_late) {
  device.hold(FuseUsbtmc::Call::write);
  const Result<void> late =
      run_after("held write MEAS:VOLT?\n", link->write("MEAS:VOLT?\n", clock.now() + moment));
  ASSERT_FALSE(late);
  EXPECT_EQ(late.error().code, Errc::timed_out);
  device.release();
  EXPECT_EQ(ask("MEAS:CURR?\n"), "3.25\n") << "not 12.5, the answer to the late question";
}

TEST_F(UsbtmcHelperTest, clears_the_device_when_nobody_waits_for_the_answer_to_a_message_that_went_out) {
  {
    std::optional<Result<void>> result;
    const Job job(loop, keep(link->write("MEAS:VOLT?\n", soon()), result));
    ASSERT_TRUE(device.await("write MEAS:VOLT?\n"));
  }
  EXPECT_EQ(ask("MEAS:CURR?\n"), "3.25\n");
  EXPECT_THAT(device.log(), Contains("clear"));
}

TEST_F(UsbtmcHelperTest, gives_up_opening_at_the_deadline_and_leaves_the_device_closed) {
  link->close();
  ASSERT_TRUE(device.await("close"));
  device.forget_log();
  device.hold(FuseUsbtmc::Call::clear);
  const Result<void> opened = run_after("held clear", link->open(clock.now() + moment));
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().code, Errc::timed_out);
  EXPECT_FALSE(link->is_open());
  device.release();
  EXPECT_TRUE(device.await("close"));
  open();
  EXPECT_EQ(ask("MEAS:VOLT?\n"), "12.5\n");
}

TEST_F(UsbtmcHelperTest, ends_a_pending_read_when_the_link_is_closed) {
  BlockedRead reading(*this);
  link->close();
  const Result<std::size_t> count = reading.result();
  ASSERT_FALSE(count);
  EXPECT_EQ(count.error().code, Errc::link_lost);
  EXPECT_THAT(device.log(), Not(Contains("close"))) << "the helper is still in its read";
  device.fail_waiting(ETIMEDOUT);
  EXPECT_TRUE(device.await("close"));
}

TEST_F(UsbtmcHelperTest, does_not_hear_of_an_earlier_opening_in_a_later_one) {
  BlockedRead reading(*this);
  link->close();
  std::optional<Result<void>> opened;
  const Job job(loop, keep(link->open(soon()), opened));
  device.offer({"1\n"});
  run_until([&opened] { return opened.has_value(); });
  ASSERT_TRUE(*opened) << opened->error().line();
  EXPECT_EQ(ask("MEAS:CURR?\n"), "3.25\n");
}

TEST_F(UsbtmcHelperTest, lets_a_link_go_while_it_is_blocked_and_closes_the_device_by_itself) {
  {
    BlockedRead reading(*this);
    reading.abandon();
    link.reset();
    EXPECT_THAT(device.log(), ElementsAre("write *OPC?\n", "read")) << "nobody waited for the kernel";
  }
  device.offer({"1\n"});
  EXPECT_TRUE(device.await("close"));
}

TEST_F(UsbtmcHelperTest, sends_urgent_lines_of_a_link_that_is_gone) {
  BlockedRead reading(*this);
  EXPECT_TRUE(link->urgent("INP OFF\n"));
  reading.abandon();
  link.reset();
  device.offer({"1\n"});
  EXPECT_TRUE(device.await("close"));
  EXPECT_THAT(device.log(), ElementsAre("write *OPC?\n", "read", "write INP OFF\n", "close"));
}

TEST_F(UsbtmcHelperTest, lets_a_dying_process_wait_until_urgent_lines_are_out) {
  BlockedRead reading(*this);
  EXPECT_TRUE(factory.finish_urgent(Second(0.0))) << "nothing is urgent yet";
  EXPECT_TRUE(link->urgent("INP OFF\n"));
  EXPECT_FALSE(factory.finish_urgent(moment));
  device.offer({"1\n"});
  EXPECT_TRUE(factory.finish_urgent(patience));
  EXPECT_THAT(device.log(), Contains("write INP OFF\n"));
}

}  // namespace
}  // namespace leadwright
