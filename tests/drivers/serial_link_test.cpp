// SPDX-License-Identifier: Apache-2.0
// Serial lines over real pseudo-terminals. A pty can't show baud, parity, framing errors or TIOCEXCL; it does
// show hang-ups and partial reads.
#include <gmock/gmock.h>
#include <sys/file.h>

#include <array>

#include "one_thread.h"
#include "pseudo_terminal.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

struct SerialLinkTest : OneThread {
  PseudoTerminal terminal;
  Descriptor& master = terminal.master;
  std::string path = terminal.path();
  std::unique_ptr<Link> link = make("serial:" + path);

  /// The kernel moves bytes from one end to the other in its own time.
  void await_room() const {
    const Descriptor other(::open(path.c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC));
    pollfd writable{other.number(), POLLOUT, 0};
    ASSERT_EQ(::poll(&writable, 1, static_cast<int>(patience.si() * 1000.0)), 1);
  }
  void open() {
    const Result<void> opened = run(link->open(soon()));
    ASSERT_TRUE(opened) << opened.error().line();
  }
};

TEST_F(SerialLinkTest, carries_bytes_both_ways_unchanged) {
  open();
  ASSERT_TRUE(run(link->write("CURR 5\n", soon())));
  EXPECT_EQ(take(master.number()), "CURR 5\n") << "raw: no echo, no CR, no line editing";
  give(master.number(), "12.5\r\n\x03\x11");
  EXPECT_EQ(read(*link), "12.5\r\n\x03\x11");
}

TEST_F(SerialLinkTest, reads_an_answer_that_comes_in_pieces) {
  open();
  give(master.number(), "12.");
  EXPECT_EQ(read(*link), "12.");
  give(master.number(), "5\n");
  EXPECT_EQ(read(*link), "5\n");
}

TEST_F(SerialLinkTest, gives_up_a_read_at_its_deadline) {
  open();
  std::array<char, 8> piece;
  const Instant deadline = clock.now() + Second(0.02);
  const Result<std::size_t> count = run(link->read(piece, deadline));
  ASSERT_FALSE(count);
  EXPECT_EQ(count.error().code, Errc::timed_out);
  EXPECT_GE(clock.now(), deadline);
}

TEST_F(SerialLinkTest, forgets_unread_input_when_told) {
  open();
  give(master.number(), "late\n");
  EXPECT_EQ(read(*link).substr(0, 1), "l");
  give(master.number(), "stale\n");
  link->discard_input();
  give(master.number(), "new\n");
  EXPECT_EQ(read(*link), "new\n");
}

TEST_F(SerialLinkTest, sends_urgent_bytes_while_a_read_is_suspended) {
  open();
  std::array<char, 8> piece;
  std::optional<Result<std::size_t>> result;
  const Job job(loop, keep(link->read(piece, soon()), result));
  EXPECT_TRUE(link->urgent("INP OFF\n"));
  EXPECT_EQ(take(master.number()), "INP OFF\n") << "no turn of the loop was needed";
  give(master.number(), "1\n");
  run_until([&result] { return result.has_value(); });
  ASSERT_TRUE(result);
  EXPECT_EQ(result->value(), 2U);
}

TEST_F(SerialLinkTest, ends_a_half_sent_message_before_urgent_bytes) {
  open();
  // More than a pty holds, so that the write is suspended in the middle of its message.
  const std::string flood(1U << 17U, 'x');
  std::optional<Result<void>> result;
  const Job job(loop, keep(link->write(flood, soon()), result));
  ASSERT_FALSE(result);
  // The instrument reads most of it: there is room again, but the rest of the message was not sent yet.
  std::string got = take(master.number());
  await_room();
  EXPECT_TRUE(link->urgent("INP OFF\n"));
  run_until([&result] { return result.has_value(); });
  ASSERT_TRUE(result);
  ASSERT_FALSE(*result);
  EXPECT_EQ(result->error().code, Errc::stopped);
  for (std::string more = "-"; !more.empty() && !got.ends_with("INP OFF\n"); got += more) {
    more = take(master.number());
  }
  EXPECT_THAT(got, HasSubstr("x\nINP OFF\n"));
  EXPECT_LT(got.size(), flood.size()) << "the rest of the cut message must not follow";
}

TEST_F(SerialLinkTest, is_lost_at_once_when_the_line_hangs_up) {
  open();
  std::array<char, 8> piece;
  std::optional<Result<std::size_t>> result;
  const Job job(loop, keep(link->read(piece, soon()), result));
  master.close();
  run_until([&result] { return result.has_value(); });
  ASSERT_TRUE(result);
  ASSERT_FALSE(*result);
  EXPECT_EQ(result->error().code, Errc::link_lost);
  EXPECT_FALSE(link->is_open());
  EXPECT_FALSE(link->urgent("INP OFF\n"));
}

TEST_F(SerialLinkTest, says_that_another_program_has_the_port_and_how_to_find_it) {
  const Descriptor other(::open(path.c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC));
  ASSERT_EQ(::flock(other.number(), LOCK_EX | LOCK_NB), 0);
  const Result<void> opened = run(link->open(soon()));
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().code, Errc::busy);
  EXPECT_THAT(opened.error().mend, HasSubstr("fuser -v " + path));
}

TEST_F(SerialLinkTest, can_be_opened_again_after_it_was_closed) {
  open();
  link->close();
  EXPECT_FALSE(link->is_open());
  open();
  ASSERT_TRUE(run(link->write("a\n", soon())));
  EXPECT_EQ(take(master.number()), "a\n");
}

TEST_F(SerialLinkTest, keeps_one_owner_at_a_time) {
  open();
  const auto second = make("serial:" + path);
  const Result<void> opened = run(second->open(soon()));
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().code, Errc::busy);
}

TEST_F(SerialLinkTest, says_when_there_is_no_such_device) {
  const auto absent = make("serial:/dev/serial/by-id/none-such");
  const Result<void> opened = run(absent->open(soon()));
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().code, Errc::not_found);
}

TEST_F(SerialLinkTest, says_when_the_path_is_no_serial_device) {
  const auto file = make("serial:/dev/null");
  const Result<void> opened = run(file->open(soon()));
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().code, Errc::bad_input);
  EXPECT_FALSE(file->is_open());
}

TEST_F(SerialLinkTest, refuses_a_baud_rate_that_no_port_has) {
  SerialSettings settings;
  settings.baud = 12345;
  const auto odd = factory.make({LinkAddress::Kind::serial, path}, settings).value();
  const Result<void> opened = run(odd->open(soon()));
  ASSERT_FALSE(opened);
  EXPECT_THAT(opened.error().what, HasSubstr("baud"));
}

}  // namespace
}  // namespace leadwright
