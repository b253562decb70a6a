// SPDX-License-Identifier: Apache-2.0
// TCP links over the loopback.
#include <arpa/inet.h>
#include <gmock/gmock.h>
#include <linux/filter.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <sys/socket.h>

#include <charconv>
#include <filesystem>

#include "one_thread.h"

namespace leadwright {
namespace {

using testing::HasSubstr;

struct TcpLinkTest : OneThread {
  Descriptor listener{::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)};
  std::string address;

  void SetUp() override {
    sockaddr_in any{};
    any.sin_family = AF_INET;
    any.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    ASSERT_EQ(::bind(listener.number(), reinterpret_cast<sockaddr*>(&any), sizeof any), 0);
    ASSERT_EQ(::listen(listener.number(), 1), 0);
    socklen_t size = sizeof any;
    ASSERT_EQ(::getsockname(listener.number(), reinterpret_cast<sockaddr*>(&any), &size), 0);
    address = "tcp:localhost:" + std::to_string(ntohs(any.sin_port));
  }
  /// The kernel drops every packet to the listener: what connects hears nothing, as from a switched-off unit.
  void fall_silent() const {
    sock_filter drop[] = {BPF_STMT(BPF_RET | BPF_K, 0)};
    const sock_fprog program{1, drop};
    ASSERT_EQ(::setsockopt(listener.number(), SOL_SOCKET, SO_ATTACH_FILTER, &program, sizeof program), 0);
  }
  void speak_again() const {
    const int unused = 0;
    ASSERT_EQ(::setsockopt(listener.number(), SOL_SOCKET, SO_DETACH_FILTER, &unused, sizeof unused), 0);
  }
};

/// The descriptor of this process at the other end of `peer`'s connection; -1 if there is none.
int other_end_of(int peer) {
  sockaddr_in wanted{};
  socklen_t size = sizeof wanted;
  EXPECT_EQ(::getpeername(peer, reinterpret_cast<sockaddr*>(&wanted), &size), 0);
  for (const auto& entry : std::filesystem::directory_iterator("/proc/self/fd")) {
    const std::string name = entry.path().filename();
    int number = -1;
    std::from_chars(name.data(), name.data() + name.size(), number);
    sockaddr_in own{};
    size = sizeof own;
    if (::getsockname(number, reinterpret_cast<sockaddr*>(&own), &size) != 0) continue;
    if (own.sin_family == AF_INET && own.sin_port == wanted.sin_port) return number;
  }
  return -1;
}

int option(int descriptor, int level, int name) {
  int value = -1;
  socklen_t size = sizeof value;
  EXPECT_EQ(::getsockopt(descriptor, level, name, &value, &size), 0);
  return value;
}

TEST_F(TcpLinkTest, carries_bytes_both_ways) {
  const auto link = make(address);
  ASSERT_TRUE(run(link->open(soon())));
  const Descriptor peer(::accept(listener.number(), nullptr, nullptr));
  ASSERT_TRUE(run(link->write("*IDN?\n", soon())));
  EXPECT_EQ(take(peer.number()), "*IDN?\n");
  give(peer.number(), "a,b,c,d\n");
  EXPECT_EQ(read(*link), "a,b,c,d\n");
}

TEST_F(TcpLinkTest, lets_the_kernel_find_out_that_an_instrument_vanished) {
  const auto link = make(address);
  ASSERT_TRUE(run(link->open(soon())));
  const Descriptor peer(::accept(listener.number(), nullptr, nullptr));
  const int descriptor = other_end_of(peer.number());
  ASSERT_GE(descriptor, 0);
  EXPECT_EQ(option(descriptor, IPPROTO_TCP, TCP_NODELAY), 1);
  EXPECT_EQ(option(descriptor, SOL_SOCKET, SO_KEEPALIVE), 1);
  EXPECT_EQ(option(descriptor, IPPROTO_TCP, TCP_KEEPIDLE), 5);
  EXPECT_EQ(option(descriptor, IPPROTO_TCP, TCP_KEEPINTVL), 2);
  EXPECT_EQ(option(descriptor, IPPROTO_TCP, TCP_KEEPCNT), 3);
  EXPECT_EQ(option(descriptor, IPPROTO_TCP, TCP_USER_TIMEOUT), 3000)
      << "ms that sent bytes may be unacknowledged";
}

TEST_F(TcpLinkTest, gives_up_connecting_at_the_deadline_and_may_try_again) {
  fall_silent();
  const auto link = make(address);
  const Instant deadline = clock.now() + Second(0.02);
  const Result<void> opened = run(link->open(deadline));
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().code, Errc::timed_out);
  EXPECT_GE(clock.now(), deadline);
  EXPECT_FALSE(link->is_open());
  speak_again();
  ASSERT_TRUE(run(link->open(soon())));
  const Descriptor peer(::accept(listener.number(), nullptr, nullptr));
  ASSERT_TRUE(run(link->write("*IDN?\n", soon())));
  EXPECT_EQ(take(peer.number()), "*IDN?\n");
}

TEST_F(TcpLinkTest, reads_an_answer_that_comes_byte_by_byte) {
  const auto link = make(address);
  ASSERT_TRUE(run(link->open(soon())));
  const Descriptor peer(::accept(listener.number(), nullptr, nullptr));
  const std::string answer = "+1.237500E+01;+2.500000E+00\r\n";
  std::string came;
  for (const char byte : answer) {
    give(peer.number(), {&byte, 1});
    came += read(*link);
  }
  EXPECT_EQ(came, answer);
}

TEST_F(TcpLinkTest, is_lost_when_the_instrument_closes_in_the_middle_of_an_answer) {
  const auto link = make(address);
  ASSERT_TRUE(run(link->open(soon())));
  Descriptor peer(::accept(listener.number(), nullptr, nullptr));
  give(peer.number(), "+1.2375");
  EXPECT_EQ(read(*link), "+1.2375");
  peer.close();
  std::array<char, 8> piece;
  const Result<std::size_t> count = run(link->read(piece, soon()));
  ASSERT_FALSE(count);
  EXPECT_EQ(count.error().code, Errc::link_lost);
  EXPECT_FALSE(link->is_open());
  EXPECT_FALSE(link->urgent("INP OFF\n"));
}

TEST_F(TcpLinkTest, is_lost_when_the_instrument_closes_the_connection) {
  const auto link = make(address);
  ASSERT_TRUE(run(link->open(soon())));
  Descriptor peer(::accept(listener.number(), nullptr, nullptr));
  peer.close();
  EXPECT_THAT(read(*link), HasSubstr("closed"));
  EXPECT_FALSE(link->is_open());
}

TEST_F(TcpLinkTest, says_when_nothing_listens_there) {
  listener.close();
  const auto link = make(address);
  const Result<void> opened = run(link->open(soon()));
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().code, Errc::not_found);
  EXPECT_FALSE(link->is_open());
}

TEST_F(TcpLinkTest, refuses_names_that_a_name_server_would_have_to_know) {
  const auto link = make("tcp:load.example:5025");
  const Result<void> opened = run(link->open(soon()));
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().code, Errc::bad_input);
  EXPECT_THAT(opened.error().what, HasSubstr("numeric address"));
  EXPECT_THAT(opened.error().mend, HasSubstr("tcp:192.0.2.7:5025"));
}

TEST_F(TcpLinkTest, can_connect_again_after_a_loss) {
  const auto link = make(address);
  for (int i = 0; i < 3; ++i) {
    ASSERT_TRUE(run(link->open(soon())));
    Descriptor peer(::accept(listener.number(), nullptr, nullptr));
    give(peer.number(), "hello");
    EXPECT_EQ(read(*link), "hello");
    link->close();
  }
}

TEST(SystemLinks, refuse_memory_links) {
  boost::asio::io_context context;
  AsioLoop loop(context);
  RealClock clock(loop);
  SystemLinkFactory factory(loop, clock);
  EXPECT_FALSE(factory.make({LinkAddress::Kind::memory, "x"}, {}));
}

}  // namespace
}  // namespace leadwright
