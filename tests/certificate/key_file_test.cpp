// SPDX-License-Identifier: Apache-2.0
#include "daemon/certificate/key_file.h"

#include <gtest/gtest.h>
#include <sys/stat.h>

#include <filesystem>
#include <fstream>

#include "tests/store/store_world.h"

namespace leadwright {
namespace {

TEST(KeyFile, is_made_at_first_use_for_its_owner_alone_and_read_ever_after) {
  const TempFolder folder;
  const auto made = bench_key(folder.path());
  ASSERT_TRUE(made) << made.error().line();
  struct stat about {};
  ASSERT_EQ(::stat(key_path(folder.path()).c_str(), &about), 0);
  EXPECT_EQ(about.st_mode & 0777U, 0600U);
  const auto read = bench_key(folder.path());
  ASSERT_TRUE(read);
  EXPECT_EQ(read->bytes, made->bytes);
  const std::filesystem::directory_iterator files(folder.path());
  EXPECT_EQ(std::distance(begin(files), end(files)), 1) << "nothing else is left behind";
}

TEST(KeyFile, of_two_benches_differ) {
  const TempFolder one;
  const TempFolder other;
  EXPECT_NE(bench_key(one.path())->bytes, bench_key(other.path())->bytes);
}

TEST(KeyFile, is_not_used_once_others_may_read_it) {
  const TempFolder folder;
  ASSERT_TRUE(bench_key(folder.path()));
  ASSERT_EQ(::chmod(key_path(folder.path()).c_str(), 0644), 0);
  const auto read = bench_key(folder.path());
  ASSERT_FALSE(read);
  EXPECT_EQ(read.error().code, Errc::refused);
}

TEST(KeyFile, that_is_damaged_is_never_replaced) {
  const TempFolder folder;
  ASSERT_TRUE(bench_key(folder.path()));
  { std::ofstream(key_path(folder.path()), std::ios::trunc) << "leadwright-signing-key-1 AAAA\n"; }
  const auto read = bench_key(folder.path());
  ASSERT_FALSE(read);
  EXPECT_EQ(read.error().code, Errc::bad_input);
}

TEST(KeyFile, says_where_it_can_not_be_made) {
  const auto made = bench_key("/nonexistent/folder");
  ASSERT_FALSE(made);
  EXPECT_EQ(made.error().code, Errc::io);
  EXPECT_EQ(made.error().where, "/nonexistent/folder/certificate.key");
}

}  // namespace
}  // namespace leadwright
