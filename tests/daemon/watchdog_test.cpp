// SPDX-License-Identifier: Apache-2.0
// What a service manager would hear, on a datagram socket in its place.
#include "daemon/watchdog.h"

#include <gmock/gmock.h>
#include <stdlib.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <array>
#include <cstring>
#include <filesystem>

#include "daemon/clock/virtual_clock.h"
#include "daemon/service_manager.h"

namespace leadwright {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

class WatchdogTest : public testing::Test {
 protected:
  void SetUp() override {
    std::string name = (std::filesystem::temp_directory_path() / "leadwright-test-XXXXXX").string();
    ASSERT_NE(::mkdtemp(name.data()), nullptr);
    folder = name;
    socket = ::socket(AF_UNIX, SOCK_DGRAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0);
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    const std::string path = (folder / "notify").string();
    std::strncpy(address.sun_path, path.c_str(), sizeof(address.sun_path) - 1);
    ASSERT_EQ(::bind(socket, reinterpret_cast<const sockaddr*>(&address), sizeof(address)), 0);
    ::setenv("NOTIFY_SOCKET", path.c_str(), 1);
  }
  void TearDown() override {
    for (const char* name : {"NOTIFY_SOCKET", "WATCHDOG_USEC", "WATCHDOG_PID"}) ::unsetenv(name);
    ::close(socket);
    std::filesystem::remove_all(folder);
  }
  /// All that came since the last look.
  std::vector<std::string> heard() const {
    std::vector<std::string> messages;
    std::array<char, 1024> buffer{};
    for (ssize_t size; (size = ::recv(socket, buffer.data(), buffer.size(), 0)) >= 0;) {
      messages.emplace_back(buffer.data(), static_cast<std::size_t>(size));
    }
    return messages;
  }
  std::filesystem::path folder;
  int socket = -1;
  VirtualClock clock;
};

TEST_F(WatchdogTest, says_ready_status_and_stopping_in_the_service_managers_words) {
  service_manager::ready("serving http://127.0.0.1:8417\nX=1");
  service_manager::stopping();
  EXPECT_THAT(heard(), ElementsAre("READY=1\nSTATUS=serving http://127.0.0.1:8417 X=1", "STOPPING=1"));
}

TEST_F(WatchdogTest, is_fed_four_times_a_period_while_every_place_has_proved_its_protection) {
  const Watchdog watchdog(clock, Second(8.0), [] { return std::string(); });
  clock.run_for(Second(7.9));
  EXPECT_THAT(heard(), ElementsAre("WATCHDOG=1", "WATCHDOG=1", "WATCHDOG=1", "WATCHDOG=1"));
}

TEST_F(WatchdogTest, is_not_fed_while_one_bay_is_overdue_and_the_status_names_it) {
  std::string stalled;
  const Watchdog watchdog(clock, Second(8.0), [&stalled] { return stalled; });
  clock.run_for(Second(3.0));
  ASSERT_EQ(heard().size(), 2U);
  stalled = "bay-2";
  clock.run_for(Second(60.0));
  EXPECT_THAT(heard(), ElementsAre("STATUS=the protection of bay-2 is overdue"));
  stalled.clear();
  clock.run_for(Second(2.0));
  EXPECT_THAT(heard(), ElementsAre("WATCHDOG=1"));
}

TEST_F(WatchdogTest, knows_how_often_from_its_environment) {
  EXPECT_FALSE(service_manager::alive_within());
  ::setenv("WATCHDOG_USEC", "3000000", 1);
  EXPECT_EQ(service_manager::alive_within(), Second(3.0));
}

TEST_F(WatchdogTest, without_a_service_manager_nothing_happens) {
  ::unsetenv("NOTIFY_SOCKET");
  service_manager::ready("x");
  EXPECT_TRUE(heard().empty());
}

}  // namespace
}  // namespace leadwright
