// SPDX-License-Identifier: Apache-2.0
// Files, descriptors and the kernel: what the commands need besides a link.
#include <arpa/inet.h>
#include <fcntl.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <stdlib.h>
#include <sys/file.h>
#include <sys/socket.h>
#include <unistd.h>

#include <array>
#include <csignal>
#include <filesystem>
#include <fstream>

#include "tests/drivers/one_thread.h"
#include "tools/client/instrument/link_owner.h"
#include "tools/client/instrument/real_time.h"
#include "tools/client/instrument/signal_input.h"
#include "tools/client/profile_commands.h"

namespace leadwright {
namespace {

using testing::AllOf;
using testing::HasSubstr;

const std::string profiles = LEADWRIGHT_SOURCE_DIR "/config/profiles/";

struct Captured {
  ExitCode code;
  std::string out;
};
Captured check(const std::vector<std::string>& files, bool json = false) {
  ClientOptions client;
  client.json = json;
  testing::internal::CaptureStdout();
  const ExitCode code = profile_check(client, {files});
  return {code, testing::internal::GetCapturedStdout()};
}

TEST(ProfileCheck, tells_what_a_right_file_can_do) {
  const Captured checked = check({profiles + "generic_scpi_load.toml", profiles + "simulated_charger.toml"});
  EXPECT_EQ(checked.code, ExitCode::ok);
  EXPECT_THAT(checked.out, AllOf(HasSubstr("generic_scpi_load.toml: right\n"), HasSubstr("  It can't\n"),
                                 HasSubstr("simulated_charger.toml: right\n")));
}

TEST(ProfileCheck, explains_every_mistake_of_every_file) {
  const std::string broken = testing::TempDir() + "leadwright_broken_profile.toml";
  std::ofstream(broken) << "schema = 1\nrole = \"lode\"\ndialect = \"scpi\"\nnme = \"x\"\n";
  const Captured checked = check({broken, profiles + "simulated_load.toml"});
  EXPECT_EQ(checked.code, ExitCode::bad_data);
  EXPECT_THAT(checked.out, AllOf(HasSubstr(broken + ":2:8: unknown role: write \"load\""),
                                 HasSubstr(broken + ":4:1: unknown key `nme`: did you mean `name`?"),
                                 HasSubstr("simulated_load.toml: right")));
  const Captured json = check({broken}, true);
  EXPECT_THAT(json.out, AllOf(HasSubstr("\"is_right\":false"), HasSubstr("\"mistakes\":[{\"where\"")));
  std::filesystem::remove(broken);
}

TEST(ProfileCheck, tells_a_missing_file_from_a_wrong_one) {
  EXPECT_EQ(check({"/nowhere/profile.toml"}).code, ExitCode::no_input);
  EXPECT_THAT(check({"/nowhere/profile.toml"}).out, HasSubstr("/nowhere/profile.toml"));
}

TEST(SignalInput, gives_lines_of_a_pipe_and_what_follows_the_last_line_end) {
  std::array<int, 2> pipe{};
  ASSERT_EQ(::pipe2(pipe.data(), O_CLOEXEC), 0);
  give(pipe[1], "*IDN?\r\n\nINP?");
  ::close(pipe[1]);
  SignalInput input(pipe[0]);
  EXPECT_EQ(input.next(), "*IDN?");
  EXPECT_EQ(input.next(), "");
  EXPECT_EQ(input.next(), "INP?");
  EXPECT_EQ(input.next(), std::nullopt);
  EXPECT_FALSE(input.was_told_to_end());
  ::close(pipe[0]);
}

TEST(SignalInput, cuts_a_line_without_an_end) {
  std::array<int, 2> pipe{};
  ASSERT_EQ(::pipe2(pipe.data(), O_CLOEXEC), 0);
  give(pipe[1], std::string(10'000, 'x'));
  ::close(pipe[1]);
  SignalInput input(pipe[0]);
  std::size_t whole = 0;
  for (auto piece = input.next(); piece; piece = input.next()) {
    EXPECT_LE(piece->size(), SignalInput::line_max);
    whole += piece->size();
  }
  EXPECT_EQ(whole, 10'000U);
  ::close(pipe[0]);
}

TEST(SignalInput, ends_at_a_signal_even_with_lines_unread) {
  std::array<int, 2> pipe{};
  ASSERT_EQ(::pipe2(pipe.data(), O_CLOEXEC), 0);
  SignalInput input(pipe[0]);
  give(pipe[1], "one\ntwo\n");
  EXPECT_EQ(input.next(), "one");
  ASSERT_EQ(::raise(SIGTERM), 0);
  EXPECT_EQ(input.next(), std::nullopt);
  EXPECT_TRUE(input.was_told_to_end());
  // Taken, or the next test of this program would see it.
  std::array<char, 256> taken{};
  EXPECT_GT(::read(input.signals(), taken.data(), taken.size()), 0);
  ::close(pipe[0]);
  ::close(pipe[1]);
}

/// A pseudo-terminal that we hold on both sides.
struct Pty {
  Pty() : master(::posix_openpt(O_RDWR | O_NOCTTY | O_CLOEXEC)) {
    std::array<char, 128> room{};
    EXPECT_EQ(::grantpt(master.number()) + ::unlockpt(master.number()), 0);
    EXPECT_EQ(::ptsname_r(master.number(), room.data(), room.size()), 0);
    name = room.data();
  }
  Descriptor master;
  std::string name;
};

TEST(LinkOwner, names_the_program_that_locks_a_port) {
  const Pty pty;
  const Descriptor other(::open(pty.name.c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC));
  ASSERT_EQ(::flock(other.number(), LOCK_EX | LOCK_NB), 0);
  const std::string expected = "process " + std::to_string(::getpid());
  EXPECT_THAT(serial_owner(pty.name), HasSubstr(expected));
  RealTime time;
  const LinkAddress address{LinkAddress::Kind::serial, pty.name};
  auto link = time.links().make(address, {});
  const auto opened = time.run((*link)->open(time.machine().now() + Second(1.0)));
  ASSERT_TRUE(opened && !*opened);
  const Error error = with_owner(opened->error(), address);
  EXPECT_EQ(error.code, Errc::busy);
  EXPECT_THAT(error.what, HasSubstr(expected));
}

TEST(LinkOwner, is_nobody_for_a_port_that_is_free_or_not_there) {
  EXPECT_EQ(serial_owner("/nowhere"), "");
  const Error error{Errc::io, "other", "", ""};
  EXPECT_EQ(with_owner(error, {LinkAddress::Kind::serial, "/nowhere"}).what, "other");
}

TEST(LinkOwner, refuses_a_second_connection_to_an_instrument) {
  const Descriptor server(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0));
  sockaddr_in address{};
  address.sin_family = AF_INET;
  address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  socklen_t size = sizeof address;
  ASSERT_EQ(::bind(server.number(), reinterpret_cast<sockaddr*>(&address), size), 0);
  ASSERT_EQ(::listen(server.number(), 1), 0);
  ASSERT_EQ(::getsockname(server.number(), reinterpret_cast<sockaddr*>(&address), &size), 0);
  const LinkAddress link{LinkAddress::Kind::tcp, "localhost:" + std::to_string(ntohs(address.sin_port))};
  EXPECT_TRUE(check_unconnected(link));
  Descriptor client(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0));
  ASSERT_EQ(::connect(client.number(), reinterpret_cast<sockaddr*>(&address), size), 0);
  const auto free = check_unconnected(link);
  ASSERT_FALSE(free);
  EXPECT_EQ(free.error().code, Errc::busy);
  EXPECT_TRUE(check_unconnected({LinkAddress::Kind::tcp, "192.0.2.7:5025"}));
  EXPECT_TRUE(check_unconnected({LinkAddress::Kind::tcp, "no address"}));
}

Task<int> throwing() {
  throw std::runtime_error("a bug");
  co_return 1;
}

Task<int> waiting(Clock& clock) {
  auto for_ever = clock.sleep_until(Instant::never());
  co_await for_ever;
  co_return 1;
}

TEST(RealTime, passes_on_what_a_task_throws) {
  RealTime time;
  EXPECT_THROW(time.run(throwing()), std::runtime_error);
}

TEST(RealTime, leaves_a_task_when_its_descriptor_becomes_readable) {
  RealTime time;
  std::array<int, 2> pipe{};
  ASSERT_EQ(::pipe2(pipe.data(), O_CLOEXEC), 0);
  give(pipe[1], "x");
  EXPECT_EQ(time.run(waiting(time.machine()), pipe[0]), std::nullopt);
  ::close(pipe[0]);
  ::close(pipe[1]);
}

}  // namespace
}  // namespace leadwright
