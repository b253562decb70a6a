// SPDX-License-Identifier: Apache-2.0
// Pseudo-terminals and TCP ports through the kernel, on one io_context that the test turns by hand.
#include "tools/benchsim/real_lines.h"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/file.h>
#include <sys/socket.h>
#include <unistd.h>

#include <boost/asio/executor_work_guard.hpp>

#include "daemon/clock/real_clock.h"
#include "protocol/modbus_frames.h"
#include "tests/benchsim/hex.h"
#include "tools/benchsim/benchsim.h"

namespace leadwright {
namespace {

namespace fs = std::filesystem;

constexpr int turns_max = 100'000;

struct RealLines : testing::Test {
  static SimBenchOptions options() {
    SimBenchOptions options{1, 0, true, 1, Second(0.0)};
    options.chargers = SimSpeech::modbus;
    options.rtu_silence = Second(0.02);
    return options;
  }
  void SetUp() override { fs::create_directories(folder); }
  void TearDown() override { fs::remove_all(folder); }

  /// What came back, of the length that was expected, or less if the line ended.
  std::string ask(int line, const std::string& message, std::size_t expected) {
    EXPECT_EQ(::write(line, message.data(), message.size()), static_cast<ssize_t>(message.size()));
    std::string answer;
    for (int turn = 0; turn < turns_max && answer.size() < expected; ++turn) {
      context.poll();
      pollfd ready{line, POLLIN, 0};
      if (::poll(&ready, 1, 1) <= 0) continue;
      std::array<char, 256> bytes{};
      const ssize_t count = ::read(line, bytes.data(), bytes.size());
      if (count <= 0) break;
      answer.append(bytes.data(), static_cast<std::size_t>(count));
    }
    return answer;
  }
  int open_pty() { return ::open(link.c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC); }
  static int connect_to(int port) {
    const int line = ::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    sockaddr_in address{};
    address.sin_family = AF_INET;
    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    address.sin_port = htons(static_cast<std::uint16_t>(port));
    if (::connect(line, reinterpret_cast<sockaddr*>(&address), sizeof address) == 0) return line;
    ::close(line);
    return -1;
  }

  fs::path folder = fs::path(testing::TempDir()) / ("real-lines-" + std::to_string(::getpid()));
  fs::path link = folder / "line";
  boost::asio::io_context context{1};
  boost::asio::executor_work_guard<boost::asio::io_context::executor_type> stays_open{context.get_executor()};
  AsioLoop loop{context};
  RealClock clock{loop};
  SimBench bench{options(), clock};
};

TEST_F(RealLines, serve_scpi_on_a_pseudo_terminal) {
  PtyLine pty(context, clock, *bench.line("bay-1.load"), Second(0.0));
  ASSERT_TRUE(pty.open(link));
  const int line = open_pty();
  EXPECT_EQ(ask(line, "INP?\n", 2), "0\n");
  ::close(line);
}

TEST_F(RealLines, serve_modbus_rtu_on_a_pseudo_terminal) {
  PtyLine pty(context, clock, *bench.line("bay-1.charger"), Second(0.0));
  ASSERT_TRUE(pty.open(link));
  const int line = open_pty();
  std::string request;
  append_rtu(request, 1, from_hex("04 0000 0002"));
  std::string answer;
  append_rtu(answer, 1, from_hex("04 04 4C57 0001"));
  EXPECT_EQ(to_hex(ask(line, request, answer.size())), to_hex(answer));
  ::close(line);
}

TEST_F(RealLines, hang_up_when_the_cable_is_pulled_and_come_back_under_the_same_name) {
  PtyLine pty(context, clock, *bench.line("bay-1.load"), Second(0.0));
  ASSERT_TRUE(pty.open(link));
  int line = open_pty();
  bench.line("bay-1.load")->cable()->pull();
  char byte = 0;
  EXPECT_LE(::read(line, &byte, 1), 0);
  EXPECT_FALSE(fs::is_symlink(link));
  ::close(line);
  bench.line("bay-1.load")->cable()->put_back();
  line = open_pty();
  ASSERT_GE(line, 0);
  EXPECT_EQ(ask(line, "INP?\n", 2), "0\n");
  ::close(line);
}

TEST_F(RealLines, are_locked_while_somebody_else_has_the_port) {
  PtyLine pty(context, clock, *bench.line("bay-1.load"), Second(0.0));
  ASSERT_TRUE(pty.open(link));
  bench.line("bay-1.load")->cable()->take();
  const int line = open_pty();
  EXPECT_NE(::flock(line, LOCK_EX | LOCK_NB), 0);
  bench.line("bay-1.load")->cable()->release();
  EXPECT_EQ(::flock(line, LOCK_EX | LOCK_NB), 0);
  ::close(line);
}

TEST_F(RealLines, carry_the_faults_of_their_cable) {
  PtyLine pty(context, clock, *bench.line("bay-1.load"), Second(0.0));
  ASSERT_TRUE(pty.open(link));
  const int line = open_pty();
  bench.line("bay-1.load")->cable()->strike(CableFault::doubled());
  EXPECT_EQ(ask(line, "INP?\n", 4), "0\n0\n");
  bench.line("bay-1.load")->cable()->strike(CableFault::split(3, Second(0.001)));
  EXPECT_EQ(ask(line, "INP?;:INP?;:INP?\n", 6), "0;0;0\n");
  ::close(line);
}

TEST_F(RealLines, serve_modbus_tcp_on_a_port_that_the_kernel_gives) {
  TcpLine tcp(context, clock, *bench.line("bay-1.charger.tcp"));
  ASSERT_TRUE(tcp.open(0));
  ASSERT_GT(tcp.port(), 0);
  const int line = connect_to(tcp.port());
  ASSERT_GE(line, 0);
  EXPECT_EQ(to_hex(ask(line, from_hex("0001 0000 0006 01 04 0000 0001"), 11)),
            "00 01 00 00 00 05 01 04 02 4C 57");
  ::close(line);
}

TEST_F(RealLines, forget_half_a_message_of_the_client_before) {
  TcpLine tcp(context, clock, *bench.line("bay-1.load"));
  ASSERT_TRUE(tcp.open(0));
  int line = connect_to(tcp.port());
  EXPECT_EQ(ask(line, "INP?\nNONS", 2), "0\n");
  ::close(line);
  line = connect_to(tcp.port());
  EXPECT_EQ(ask(line, "INP?\n", 2), "0\n");
  ::close(line);
}

TEST_F(RealLines, close_their_port_when_the_cable_is_pulled) {
  TcpLine tcp(context, clock, *bench.line("bay-1.load"));
  ASSERT_TRUE(tcp.open(0));
  int line = connect_to(tcp.port());
  EXPECT_EQ(ask(line, "INP?\n", 2), "0\n");
  bench.line("bay-1.load")->cable()->pull();
  char byte = 0;
  EXPECT_EQ(::read(line, &byte, 1), 0);
  ::close(line);
  EXPECT_LT(connect_to(tcp.port()), 0);
  bench.line("bay-1.load")->cable()->put_back();
  line = connect_to(tcp.port());
  ASSERT_GE(line, 0);
  EXPECT_EQ(ask(line, "INP?\n", 2), "0\n");
  ::close(line);
}

}  // namespace
}  // namespace leadwright
