// SPDX-License-Identifier: Apache-2.0
#include "daemon/alarm_command.h"

#include <gmock/gmock.h>
#include <stdlib.h>
#include <sys/stat.h>

#include <filesystem>
#include <fstream>
#include <sstream>

namespace leadwright {
namespace {

using testing::HasSubstr;
using testing::Not;

class AlarmCommandTest : public testing::Test {
 protected:
  void SetUp() override {
    std::string name = (std::filesystem::temp_directory_path() / "leadwright-test-XXXXXX").string();
    ASSERT_NE(::mkdtemp(name.data()), nullptr);
    folder = name;
  }
  void TearDown() override { std::filesystem::remove_all(folder); }
  std::string script(const std::string& name, const std::string& body) const {
    const std::string path = (folder / name).string();
    std::ofstream(path) << "#!/bin/sh\n" << body << "\n";
    ::chmod(path.c_str(), 0700);
    return path;
  }
  std::string said() const {
    std::ostringstream text;
    text << std::ifstream(folder / "said").rdbuf();
    return text.str();
  }
  std::filesystem::path folder;
};

TEST_F(AlarmCommandTest, gives_kind_place_and_sentence_as_they_are_and_nothing_of_the_daemon) {
  ::setenv("LEADWRIGHT_SECRET", "token", 1);
  AlarmSettings settings;
  settings.command = {script("call", "printf '%s|' \"$@\" > " + (folder / "said").string() + "; env >> " +
                                         (folder / "said").string()),
                      "bench"};
  AlarmCommand command(settings);
  command.call({AlarmCall::Kind::begun, "bay-1", "hot; rm -rf $HOME `id`"});
  command.finish();
  EXPECT_THAT(said(), HasSubstr("bench|begun|bay-1|hot; rm -rf $HOME `id`|"));
  EXPECT_THAT(said(), HasSubstr("LEADWRIGHT_PLACE=bay-1\n"));
  EXPECT_THAT(said(), Not(HasSubstr("token")));
}

TEST_F(AlarmCommandTest, calls_somebody_else_when_it_escalates) {
  AlarmSettings settings;
  settings.command = {script("first", "echo first >> " + (folder / "said").string())};
  settings.second_command = {script("second", "echo second >> " + (folder / "said").string())};
  AlarmCommand command(settings);
  command.call({AlarmCall::Kind::begun, "bay-1", "hot"});
  command.call({AlarmCall::Kind::escalated, "bay-1", "hot"});
  command.finish();
  EXPECT_EQ(said(), "first\nsecond\n");
}

TEST_F(AlarmCommandTest, a_command_that_is_not_there_or_fails_ends_nothing) {
  AlarmSettings settings;
  settings.command = {"/nowhere/call"};
  settings.second_command = {script("fails", "exit 3")};
  AlarmCommand command(settings);
  command.call({AlarmCall::Kind::begun, "bay-1", "hot"});
  command.call({AlarmCall::Kind::escalated, "bay-1", "hot"});
  command.finish();
  EXPECT_EQ(said(), "");
}

TEST_F(AlarmCommandTest, a_command_that_hangs_does_not_hold_the_caller_or_the_end) {
  AlarmSettings settings;
  settings.command = {script("hangs", "echo started > " + (folder / "said").string() + "; exec sleep 1000")};
  {
    AlarmCommand command(settings);
    command.call({AlarmCall::Kind::begun, "bay-1", "hot"});
  }
  EXPECT_LE(said().size(), std::string("started\n").size());
}

}  // namespace
}  // namespace leadwright
