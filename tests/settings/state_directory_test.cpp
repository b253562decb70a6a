// SPDX-License-Identifier: Apache-2.0
#include "daemon/settings/state_directory.h"

#include <gtest/gtest.h>
#include <stdlib.h>
#include <unistd.h>

#include "daemon/settings/exit_codes.h"

namespace leadwright {
namespace {

class StateDirectory : public ::testing::Test {
 protected:
  void SetUp() override {
    ::unsetenv("STATE_DIRECTORY");
    ::unsetenv("XDG_STATE_HOME");
  }
  void TearDown() override { SetUp(); }
};

TEST_F(StateDirectory, is_the_options_before_all_else) {
  ::setenv("STATE_DIRECTORY", "/var/lib/other", 1);
  EXPECT_EQ(state_directory("here"), "here");
}

TEST_F(StateDirectory, is_the_first_that_systemd_names) {
  ::setenv("STATE_DIRECTORY", "/var/lib/first:/var/lib/second", 1);
  EXPECT_EQ(state_directory(""), "/var/lib/first");
}

TEST_F(StateDirectory, is_the_systems_as_root_and_the_users_else) {
  ::setenv("XDG_STATE_HOME", "/home/pat/state", 1);
  EXPECT_EQ(state_directory(""), ::geteuid() == 0 ? "/var/lib/leadwright" : "/home/pat/state/leadwright");
}

// sysexits.h of the C library is the outside source of these numbers.
TEST(ExitCodes, are_those_of_sysexits) {
  EXPECT_EQ(static_cast<int>(exit_code(Errc::bad_input)), 65);
  EXPECT_EQ(static_cast<int>(exit_code(Errc::not_found)), 66);
  EXPECT_EQ(static_cast<int>(exit_code(Errc::bug)), 70);
  EXPECT_EQ(static_cast<int>(exit_code(Errc::io)), 74);
  EXPECT_EQ(static_cast<int>(exit_code(Errc::busy)), 75);
  EXPECT_EQ(static_cast<int>(exit_code(Errc::refused)), 77);
  EXPECT_EQ(static_cast<int>(ExitCode::configuration), 78);
}

}  // namespace
}  // namespace leadwright
