// SPDX-License-Identifier: Apache-2.0
// Wires and the control socket through the kernel, on one io_context that the test turns by hand.
#include <fcntl.h>
#include <gtest/gtest.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <array>
#include <boost/asio/executor_work_guard.hpp>
#include <boost/asio/io_context.hpp>
#include <filesystem>
#include <fstream>

#include "daemon/clock/real_clock.h"
#include "tools/benchsim/bench_lines.h"
#include "tools/benchsim/benchsim.h"
#include "tools/benchsim/control_socket.h"
#include "tools/benchsim/wire.h"

namespace leadwright {
namespace {

struct World {
  boost::asio::io_context context{1};
  boost::asio::executor_work_guard<boost::asio::io_context::executor_type> stays_open{context.get_executor()};
  AsioLoop loop{context};
  RealClock clock{loop};
  SimBench bench{{1, 0, true, 1, Second(0.0)}, clock};
  Wire wire{context, clock, *bench.line("bay-1.load"), Second(0.0)};
  bool ended = false;

  int connect() {
    std::array<int, 2> pair{};
    EXPECT_EQ(::socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, pair.data()), 0);
    ended = false;
    wire.serve(pair[0], [this] { ended = true; });
    return pair[1];
  }
  std::string ask(int line, const std::string& message) {
    EXPECT_EQ(::write(line, message.data(), message.size()), static_cast<ssize_t>(message.size()));
    std::string answer;
    pollfd ready{line, POLLIN, 0};
    while (answer.empty() || answer.back() != '\n') {
      context.run_one();
      if (::poll(&ready, 1, 0) <= 0) continue;
      std::array<char, 256> bytes{};
      const ssize_t count = ::read(line, bytes.data(), bytes.size());
      if (count <= 0) break;
      answer.append(bytes.data(), static_cast<std::size_t>(count));
    }
    return answer;
  }
};

TEST(Wire, answers_on_the_line_it_serves) {
  World world;
  const int line = world.connect();
  EXPECT_EQ(world.ask(line, "*IDN?\n"), "Leadwright,simulated load,bay-1.load,sim-1\n");
  ::close(line);
}

TEST(Wire, says_that_the_other_side_is_gone_and_serves_the_next) {
  World world;
  ::close(world.connect());
  while (!world.ended) world.context.run_one();
  const int line = world.connect();
  EXPECT_EQ(world.ask(line, "INP?\n"), "0\n");
  ::close(line);
}

TEST(ControlSocket, refuses_a_second_owner_and_replaces_a_dead_one) {
  const std::filesystem::path folder =
      std::filesystem::path(testing::TempDir()) / ("benchsim-" + std::to_string(::getpid()));
  std::filesystem::create_directories(folder);
  boost::asio::io_context context(1);
  EXPECT_FALSE(ask_bench(folder.string(), "list"));
  {
    auto first =
        ControlSocket::open(context, folder.string(), [](std::string_view) { return std::string("ok"); });
    ASSERT_TRUE(first);
    EXPECT_TRUE(std::filesystem::exists(folder / "benchsim.sock"));
  }
  EXPECT_FALSE(std::filesystem::exists(folder / "benchsim.sock"));
  std::ofstream(folder / "benchsim.sock") << "left by a process that was killed";
  auto again =
      ControlSocket::open(context, folder.string(), [](std::string_view) { return std::string("ok"); });
  EXPECT_TRUE(again);
  again->reset();
  std::filesystem::remove_all(folder);
}

}  // namespace
}  // namespace leadwright
