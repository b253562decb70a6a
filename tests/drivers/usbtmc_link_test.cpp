// SPDX-License-Identifier: Apache-2.0
// What crosses a USBTMC link, and what becomes of transfers that fail. Urgent bytes, deadlines and the end of
// the helper are in usbtmc_helper_test.cpp.
#include <linux/usb/tmc.h>

#include <fstream>

#include "usbtmc_bench.h"

namespace leadwright {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

using UsbtmcLinkTest = UsbtmcBench;

TEST_F(UsbtmcLinkTest, carries_a_question_and_its_answer_as_one_message_each) {
  EXPECT_EQ(ask("MEAS:VOLT?\n"), "12.5\n");
  EXPECT_EQ(ask("MEAS:CURR?\n"), "3.25\n");
  EXPECT_THAT(device.log(), ElementsAre("write MEAS:VOLT?\n", "read", "write MEAS:CURR?\n", "read"));
}

TEST_F(UsbtmcLinkTest, resets_pipes_and_device_when_it_opens) {
  link->close();
  ASSERT_TRUE(device.await("close"));
  device.forget_log();
  open();
  EXPECT_THAT(device.log(), ElementsAre("open", "clear in halt", "clear out halt", "clear"));
}

TEST_F(UsbtmcLinkTest, says_where_an_answer_ends_that_has_no_line_feed) {
  device.answer("*IDN?\n", {{"a,b,", false}, {"c,d"}});
  ASSERT_TRUE(write("*IDN?\n"));
  EXPECT_EQ(read(*link), "a,b,");
  EXPECT_FALSE(link->message_ended());
  EXPECT_EQ(read(*link), "c,d");
  EXPECT_TRUE(link->message_ended());
}

TEST_F(UsbtmcLinkTest, says_that_an_answer_ended_only_with_its_last_byte) {
  ASSERT_TRUE(write("MEAS:VOLT?\n"));
  std::array<char, 3> piece;
  ASSERT_EQ(run(link->read(piece, soon())), 3U);
  EXPECT_FALSE(link->message_ended());
  ASSERT_EQ(run(link->read(piece, soon())), 2U);
  EXPECT_TRUE(link->message_ended());
}

TEST_F(UsbtmcLinkTest, carries_an_answer_that_is_longer_than_one_transfer) {
  const std::string curve(10'000, 'x');
  device.answer("CURV?\n", {{curve}});
  EXPECT_EQ(ask("CURV?\n"), curve);
  EXPECT_THAT(device.log(), ElementsAre("write CURV?\n", "read", "read", "read"));
}

TEST_F(UsbtmcLinkTest, never_reads_a_device_that_was_asked_nothing) {
  std::array<char, 8> piece;
  const Result<std::size_t> count = run(link->read(piece, clock.now() + moment));
  ASSERT_FALSE(count);
  EXPECT_EQ(count.error().code, Errc::timed_out);
  EXPECT_EQ(ask("MEAS:VOLT?\n"), "12.5\n");
  ASSERT_FALSE(run(link->read(piece, clock.now() + moment)));
  EXPECT_THAT(device.log(), ElementsAre("write MEAS:VOLT?\n", "read")) << "no read but that of the question";
}

TEST_F(UsbtmcLinkTest, clears_the_device_after_a_time_out_before_it_asks_again) {
  BlockedRead unanswered(*this);
  device.fail_waiting(ETIMEDOUT);
  const Result<std::size_t> count = unanswered.result();
  ASSERT_FALSE(count);
  EXPECT_EQ(count.error().code, Errc::timed_out);
  EXPECT_TRUE(link->is_open());
  EXPECT_EQ(ask("MEAS:VOLT?\n"), "12.5\n");
  EXPECT_THAT(device.log(),
              ElementsAre("write *OPC?\n", "read", "abort in", "clear", "write MEAS:VOLT?\n", "read"));
}

TEST_F(UsbtmcLinkTest, takes_a_malformed_transfer_for_garbled_not_for_the_end) {
  BlockedRead unanswered(*this);
  device.offer({.bytes = {}, .is_malformed = true});
  const Result<std::size_t> count = unanswered.result();
  ASSERT_FALSE(count);
  EXPECT_EQ(count.error().code, Errc::garbled);
  EXPECT_TRUE(link->is_open());
  EXPECT_EQ(ask("MEAS:CURR?\n"), "3.25\n");
  EXPECT_THAT(device.log(),
              ElementsAre("write *OPC?\n", "read", "abort in", "clear", "write MEAS:CURR?\n", "read"));
}

TEST_F(UsbtmcLinkTest, resets_the_pipes_after_a_stall) {
  BlockedRead unanswered(*this);
  device.fail_waiting(EPIPE);
  ASSERT_FALSE(unanswered.result());
  EXPECT_EQ(ask("MEAS:CURR?\n"), "3.25\n");
  EXPECT_THAT(device.log(), ElementsAre("write *OPC?\n", "read", "abort in", "clear in halt",
                                        "clear out halt", "clear", "write MEAS:CURR?\n", "read"));
}

TEST_F(UsbtmcLinkTest, aborts_outwards_after_a_message_that_the_device_did_not_take) {
  device.hold(FuseUsbtmc::Call::write);
  std::optional<Result<void>> result;
  const Job job(loop, keep(link->write("INP ON\n", soon()), result));
  ASSERT_TRUE(device.await("held write INP ON\n"));
  device.fail_waiting(ETIMEDOUT);
  run_until([&result] { return result.has_value(); });
  ASSERT_FALSE(*result);
  EXPECT_EQ(result->error().code, Errc::timed_out);
  device.release();
  EXPECT_EQ(ask("MEAS:CURR?\n"), "3.25\n");
  EXPECT_THAT(device.log(),
              ElementsAre("held write INP ON\n", "abort out", "clear", "write MEAS:CURR?\n", "read"));
}

TEST_F(UsbtmcLinkTest, is_lost_when_the_device_does_not_answer_its_clear) {
  BlockedRead unanswered(*this);
  device.fail_next(USBTMC_IOCTL_CLEAR, ETIMEDOUT);
  device.fail_waiting(ETIMEDOUT);
  ASSERT_FALSE(unanswered.result());
  run_until([this] { return !link->is_open(); });
  EXPECT_FALSE(link->is_open());
  EXPECT_EQ(write_error("MEAS:VOLT?\n"), Errc::link_lost);
  open();
  EXPECT_EQ(ask("MEAS:VOLT?\n"), "12.5\n");
}

TEST_F(UsbtmcLinkTest,
       is_lost_when_the_device_is_unplugged_during_a_read_and_opens_again_by_its_stable_name) {
  for (const int error : {ESHUTDOWN, EPROTO, ENODEV}) {
    BlockedRead unanswered(*this);
    device.unplug(error);
    const Result<std::size_t> count = unanswered.result();
    ASSERT_FALSE(count) << error;
    EXPECT_EQ(count.error().code, Errc::link_lost) << error;
    EXPECT_FALSE(link->is_open());
    EXPECT_FALSE(link->urgent("INP OFF\n"));
    ASSERT_TRUE(device.await("close")) << "a device that is held open comes back under another minor number";
    device.plug_in();
    open();
    EXPECT_EQ(ask("MEAS:VOLT?\n"), "12.5\n");
    device.forget_log();
  }
}

TEST_F(UsbtmcLinkTest, finds_out_that_an_idle_device_was_unplugged) {
  device.unplug(ENODEV);
  EXPECT_EQ(write_error("MEAS:VOLT?\n"), Errc::link_lost);
  EXPECT_FALSE(link->is_open());
  const Result<void> opened = run(link->open(soon()));
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().code, Errc::not_found);
  device.plug_in();
  open();
  EXPECT_EQ(ask("MEAS:VOLT?\n"), "12.5\n");
}

TEST_F(UsbtmcLinkTest, keeps_one_owner_at_a_time_and_says_how_to_find_it) {
  const auto second = make("usbtmc:" + device.path());
  const Result<void> refused = run(second->open(soon()));
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, Errc::busy);
  EXPECT_THAT(refused.error().mend, HasSubstr("fuser -v " + device.path()));
  link->close();
  ASSERT_TRUE(device.await("close", 2));
  EXPECT_TRUE(run(second->open(soon())));
}

TEST_F(UsbtmcLinkTest, asks_for_the_usual_time_out_and_a_longer_one_for_a_later_deadline) {
  EXPECT_THAT(device.timeouts(), ElementsAre(300));
  EXPECT_EQ(link->urgent_within(), Second(0.6)) << "a read makes two transfers";
  ASSERT_TRUE(run(link->write("CURR 5\n", clock.now() + Second(60.0))));
  EXPECT_THAT(device.timeouts(), ElementsAre(300, 5000));
  EXPECT_EQ(link->urgent_within(), Second(10.0));
}

TEST_F(UsbtmcLinkTest, does_not_open_with_a_time_out_that_the_driver_refuses) {
  link->close();
  ASSERT_TRUE(device.await("close"));
  UsbtmcLink hasty(clock, LinkAddress::parse("usbtmc:" + device.path()).value(),
                   std::make_shared<HelperThreads>(), Second(0.05));
  const Result<void> opened = run(hasty.open(soon()));
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().code, Errc::bad_input);
  EXPECT_THAT(opened.error().mend, HasSubstr("100 ms"));
}

TEST_F(UsbtmcLinkTest, says_when_the_path_leads_to_no_usbtmc_device) {
  const std::string path = device.path() + ".txt";
  std::ofstream(path) << "text";
  const auto file = make("usbtmc:" + path);
  const Result<void> opened = run(file->open(soon()));
  std::remove(path.c_str());
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().code, Errc::bad_input);
}

TEST_F(UsbtmcLinkTest, reads_the_status_byte_out_of_band) {
  const auto known = std::make_unique<UsbtmcLink>(
      clock, LinkAddress::parse("usbtmc:" + device.path()).value(), std::make_shared<HelperThreads>());
  link->close();
  ASSERT_TRUE(device.await("close"));
  ASSERT_TRUE(run(known->open(soon())));
  EXPECT_EQ(run(known->status_byte(soon())), 0x10);
  device.fail_next(USBTMC488_IOCTL_READ_STB, EIO);
  const Result<std::uint8_t> refused = run(known->status_byte(soon()));
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, Errc::io);
  EXPECT_TRUE(known->is_open());
}

TEST_F(UsbtmcLinkTest, forgets_question_and_answer_when_told_to_clear) {
  ASSERT_TRUE(write("MEAS:VOLT?\n"));
  ASSERT_TRUE(run(link->clear(soon())));
  std::array<char, 8> piece;
  EXPECT_FALSE(run(link->read(piece, clock.now() + moment)));
  EXPECT_EQ(ask("MEAS:CURR?\n"), "3.25\n");
}

TEST_F(UsbtmcLinkTest, tells_the_tap_what_crossed) {
  std::vector<std::string> heard;
  link->tap = [&heard](const std::string&, bool outward, std::string_view bytes, Instant) {
    heard.push_back(std::string(outward ? "> " : "< ").append(bytes));
  };
  EXPECT_EQ(ask("MEAS:VOLT?\n"), "12.5\n");
  EXPECT_TRUE(link->urgent("INP OFF\n"));
  EXPECT_THAT(heard, ElementsAre("> MEAS:VOLT?\n", "< 12.5\n", "> INP OFF\n"));
}

}  // namespace
}  // namespace leadwright
