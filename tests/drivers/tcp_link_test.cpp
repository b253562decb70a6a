// SPDX-License-Identifier: Apache-2.0
// TCP links over the loopback.
#include <arpa/inet.h>
#include <gmock/gmock.h>
#include <netinet/in.h>
#include <sys/socket.h>

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
};

TEST_F(TcpLinkTest, carries_bytes_both_ways) {
  const auto link = make(address);
  ASSERT_TRUE(run(link->open(soon())));
  const Descriptor peer(::accept(listener.number(), nullptr, nullptr));
  ASSERT_TRUE(run(link->write("*IDN?\n", soon())));
  EXPECT_EQ(take(peer.number()), "*IDN?\n");
  give(peer.number(), "a,b,c,d\n");
  EXPECT_EQ(read(*link), "a,b,c,d\n");
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
