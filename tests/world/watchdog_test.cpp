// SPDX-License-Identifier: Apache-2.0
// systemd's notify and watchdog: on a socket that plays systemd, and over whole runs.
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <array>
#include <cstdlib>
#include <cstring>
#include <filesystem>

#include "daemon/service_manager.h"
#include "tests/world/world_fixture.h"

namespace leadwright {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::Each;
using testing::HasSubstr;
using testing::Not;

/// A datagram socket where systemd's would be, named by NOTIFY_SOCKET as long as it lives.
class NotifySocket {
 public:
  NotifySocket() : path_(testing::TempDir() + "notify-" + std::to_string(::getpid())) {
    std::filesystem::remove(path_);
    socket_ = ::socket(AF_UNIX, SOCK_DGRAM | SOCK_NONBLOCK, 0);
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    path_.copy(address.sun_path, sizeof address.sun_path - 1);
    is_bound_ = ::bind(socket_, reinterpret_cast<const sockaddr*>(&address), sizeof address) == 0;
    ::setenv("NOTIFY_SOCKET", path_.c_str(), 1);
  }
  NotifySocket(const NotifySocket&) = delete;
  NotifySocket& operator=(const NotifySocket&) = delete;
  ~NotifySocket() {
    ::unsetenv("NOTIFY_SOCKET");
    ::close(socket_);
    std::filesystem::remove(path_);
  }
  bool is_bound() const { return is_bound_; }
  /// The next message; empty if there is none.
  std::string next() const {
    std::array<char, 1024> message{};
    const ssize_t size = ::recv(socket_, message.data(), message.size(), 0);
    return size > 0 ? std::string(message.data(), static_cast<std::size_t>(size)) : std::string();
  }

 private:
  std::string path_;
  int socket_ = -1;
  bool is_bound_ = false;
};

TEST(ServiceManager, is_told_on_the_socket_that_it_names) {
  const NotifySocket systemd;
  ASSERT_TRUE(systemd.is_bound());
  ASSERT_TRUE(tell_service_manager("READY=1"));
  EXPECT_EQ(systemd.next(), "READY=1");
  ASSERT_TRUE(tell_service_manager("STATUS=2 places\nWATCHDOG=1"));
  EXPECT_EQ(systemd.next(), "STATUS=2 places\nWATCHDOG=1");
}

TEST(ServiceManager, without_systemd_nothing_is_told_and_nothing_fails) {
  ::unsetenv("NOTIFY_SOCKET");
  EXPECT_TRUE(tell_service_manager("READY=1"));
}

TEST(ServiceManager, a_socket_that_is_gone_is_an_error_with_a_remedy) {
  ::setenv("NOTIFY_SOCKET", "/nowhere/notify", 1);
  const Result<void> told = tell_service_manager("READY=1");
  ::unsetenv("NOTIFY_SOCKET");
  ASSERT_FALSE(told);
  EXPECT_EQ(told.error().where, "NOTIFY_SOCKET");
}

class WatchdogTest : public testing::Test {
 protected:
  std::unique_ptr<Watchdog> watchdog(std::optional<Second> interval) {
    return std::make_unique<Watchdog>(
        clock, Watchdog::Orders{interval, [this] { return overdue; }, [] { return std::string("well"); },
                                [this](const std::string& state) { told.push_back(state); }});
  }
  std::size_t pings() const {
    return static_cast<std::size_t>(std::ranges::count_if(
        told, [](const std::string& state) { return state.find("WATCHDOG=1") != std::string::npos; }));
  }
  VirtualClock clock;
  std::optional<std::string> overdue;
  std::vector<std::string> told;
};

TEST_F(WatchdogTest, is_fed_twice_in_its_interval) {
  const auto fed = watchdog(Second(10.0));
  fed->begin();
  EXPECT_EQ(told.front(), "READY=1");
  clock.run_for(Second(99.0));
  EXPECT_EQ(pings(), 20U);
}

TEST_F(WatchdogTest, is_not_fed_while_a_place_is_overdue_and_says_which) {
  const auto fed = watchdog(Second(10.0));
  fed->begin();
  clock.run_for(Second(20.0));
  const std::size_t before = pings();
  overdue = "bay-2 is energised and was not watched for too long";
  told.clear();
  clock.run_for(Second(30.0));
  EXPECT_GT(before, 0U);
  EXPECT_EQ(pings(), 0U);
  EXPECT_THAT(told, Each(HasSubstr("STATUS=bay-2 is energised")));
  overdue.reset();
  clock.run_for(Second(6.0));
  EXPECT_GE(pings(), 1U);
}

TEST_F(WatchdogTest, without_an_interval_the_status_alone_is_told) {
  const auto fed = watchdog(std::nullopt);
  fed->begin();
  clock.run_for(Second(60.0));
  EXPECT_EQ(pings(), 0U);
  EXPECT_THAT(told, Contains("STATUS=well"));
}

TEST_F(WatchdogTest, says_that_it_ends_and_no_more) {
  const auto fed = watchdog(Second(10.0));
  fed->begin();
  fed->end();
  EXPECT_EQ(told.back(), "STOPPING=1");
  const std::size_t count = told.size();
  clock.run_for(Second(60.0));
  EXPECT_EQ(told.size(), count);
}

class ProtectionOverdue : public WorldTest {
 protected:
  void begin(const std::string& spec, const std::string& procedure) {
    make_world();
    begin_run(spec, procedure);
  }
  /// Every tenth of a second until the run has ended.
  int overdue_looks() {
    int looks = 0;
    while (world->bench().place(bay)->run() != nullptr) {
      if (world->bench().protection_overdue()) ++looks;
      world->clock().run_for(Second(0.1));
    }
    return looks;
  }
};

TEST_F(ProtectionOverdue, never_in_a_draw_that_goes_well) {
  begin("cell:sound,c20_ah=20,charged=0.6", "reserve capacity");
  EXPECT_EQ(overdue_looks(), 0);
  EXPECT_THAT(world->bench().status_line(), HasSubstr("3 places, 0 at work, 0 tripped"));
}

TEST_F(ProtectionOverdue, never_while_a_load_that_ignores_off_is_told_again) {
  begin("cell:sound,c20_ah=60,charged=1", "reserve capacity");
  world->clock().run_for(minutes(3.0));
  world->sim().instrument("bay-1.load")->set_fault(SimInstrument::Fault::ignores_off, true);
  world->ask("place.stop", bay, R"({"why":"a test"})");
  EXPECT_EQ(overdue_looks(), 0);
  EXPECT_EQ(world->bench().place(bay)->activity(), Activity::tripped);
}

}  // namespace
}  // namespace leadwright
