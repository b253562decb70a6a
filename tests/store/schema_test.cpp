// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/schema.h"

#include <gmock/gmock.h>

#include <array>

#include "daemon/store/history.h"
#include "tests/store/store_world.h"

namespace leadwright {
namespace {

/// A second schema that this version does not have.
constexpr std::string_view next_sql = "CREATE TABLE extra (id INTEGER PRIMARY KEY) STRICT;";

std::vector<SchemaStep> with_next(std::string_view sql) {
  std::vector<SchemaStep> steps(schema_steps().begin(), schema_steps().end());
  steps.push_back({steps.back().version + 1, sql});
  return steps;
}

class SchemaTest : public ::testing::Test {
 protected:
  void SetUp() override { make_database(folder_.path(), 3); }
  std::string backups() const { return folder_.path() + "/backups"; }
  std::string backup() const {
    return backups() + "/leadwright-schema-" + std::to_string(schema_steps().back().version) + ".sqlite";
  }
  Result<void> move_to(std::string_view next) {
    auto database = Database::open(database_path(folder_.path()), Database::Access::read_write);
    return migrate(*database, with_next(next), backups());
  }
  std::int64_t integer(const std::string& path, std::string_view sql) {
    return Database::open(path, Database::Access::read_only)->integer(sql).value();
  }
  TempFolder folder_;
};

TEST_F(SchemaTest, makes_no_backup_of_a_new_database) {
  EXPECT_FALSE(std::filesystem::exists(backups()));
}

TEST_F(SchemaTest, what_can_only_be_read_says_so_and_names_the_disk) {
  auto database = Database::open(database_path(folder_.path()), Database::Access::read_only);
  const Result<void> written = database->execute(next_sql);
  ASSERT_FALSE(written);
  EXPECT_EQ(written.error().code, Errc::io);
  EXPECT_THAT(written.error().line(), testing::HasSubstr("disk is mounted read-only"));
}

TEST_F(SchemaTest, steps_are_numbered_from_one_without_a_gap) {
  int expected = 1;
  for (const SchemaStep& step : schema_steps()) EXPECT_EQ(step.version, expected++);
}

TEST_F(SchemaTest, moves_forward_and_keeps_a_copy_of_before) {
  const auto moved = move_to(next_sql);
  ASSERT_TRUE(moved) << moved.error().line();
  const std::string path = database_path(folder_.path());
  EXPECT_EQ(integer(path, "SELECT count(*) FROM audit"), 3);
  EXPECT_EQ(integer(path, "SELECT count(*) FROM extra"), 0);
  EXPECT_EQ(integer(path, "PRAGMA user_version"), schema_steps().back().version + 1);
  EXPECT_EQ(integer(backup(), "PRAGMA user_version"), schema_steps().back().version);
  EXPECT_EQ(integer(backup(), "SELECT count(*) FROM audit"), 3);
}

TEST(FirstSchema, is_read_with_the_sentences_that_its_grades_kept) {
  TempFolder folder;
  {
    auto database = Database::open(database_path(folder.path()), Database::Access::read_write);
    ASSERT_TRUE(migrate(*database, schema_steps().first(1), folder.path() + "/backups"));
    ASSERT_TRUE(database->execute(R"(
        INSERT INTO meta (id, simulated) VALUES (1, 1);
        INSERT INTO battery VALUES (1, 'SN-1', 'agm', 6, NULL, NULL, NULL, NULL, NULL, NULL, '', '');
        INSERT INTO ticket VALUES (1, 1, NULL, 'slow', '', '', 0, 0, 0, 0, 0, '', 'graded', '', 'shelf',
                                   1, 1, NULL, NULL, '[]', 0);
        INSERT INTO grade VALUES (1, 1, 'B', 'sound', 'bench 1', 'ab', '0.1.0', 'keep',
                                  '["limit of B: met"]', 1);)"));
  }
  QueueLoop loop;
  const auto bench = open_store(folder.path(), loop)->load();
  ASSERT_TRUE(bench) << bench.error().line();
  ASSERT_EQ(bench->grades.size(), 1U);
  ASSERT_EQ(bench->grades[0].rules.size(), 1U);
  EXPECT_EQ(bench->grades[0].rules[0].text, "limit of B: met");
  EXPECT_FALSE(bench->grades[0].rules[0].limit);
  EXPECT_EQ(bench->tickets.at(0).story.receipt, "");
}

TEST_F(SchemaTest, a_database_of_before_consents_takes_them_and_keeps_its_runs) {
  const TempFolder old;
  const std::string path = database_path(old.path());
  {
    auto database = Database::open(path, Database::Access::read_write);
    ASSERT_TRUE(migrate(*database, schema_steps().first(1), backups()));
    ASSERT_TRUE(database->execute(
        "INSERT INTO meta (id, simulated) VALUES (1, 1);"
        "INSERT INTO battery VALUES (1, 'SN-1', 'efb', 6, NULL, NULL, NULL, NULL, NULL, NULL, '', '');"
        "INSERT INTO ticket VALUES (1, 1, NULL, '', '', '', 0, 0, 0, 0, 0, '', 'waiting', '', '', 0, 0, "
        "NULL, NULL, '[]', 0);"
        "INSERT INTO run VALUES (1, 1, 'bay-1', 'intake check', 1, '', 0, 0, 'complete', 'done');"));
  }
  QueueLoop loop;
  const auto store = open_store(old.path(), loop);
  ASSERT_TRUE(write_now(*store, loop, {example_run(2)}));
  const auto bench = store->load();
  ASSERT_TRUE(bench) << bench.error().line();
  ASSERT_EQ(bench->runs.size(), 2U);
  EXPECT_FALSE(bench->runs[0].consent);
  EXPECT_TRUE(bench->runs[1].consent);
}

TEST_F(SchemaTest, a_database_of_before_overrides_takes_them_beside_the_grades_that_it_has) {
  const TempFolder old;
  {
    auto database = Database::open(database_path(old.path()), Database::Access::read_write);
    ASSERT_TRUE(migrate(*database, schema_steps().first(6), backups()));
    ASSERT_TRUE(database->execute(
        "INSERT INTO meta (id, simulated) VALUES (1, 1);"
        "INSERT INTO battery VALUES (1, 'SN-1', 'efb', 6, NULL, NULL, NULL, NULL, NULL, NULL, '', '');"
        "INSERT INTO ticket VALUES (1, 1, NULL, '', '', '', 0, 0, 0, 0, 0, '', 'graded', '', '', 0, 0, "
        "NULL, NULL, '[]', 0, '');"
        "INSERT INTO grade (ticket, letter, reason, policy, policy_hash, software, disposition, rules, at) "
        "VALUES (1, 'D', 'Gives 60 of 110 minutes.', 'bench 1', 'ab', '0.1.0', 'scrap', '[]', 1);"));
  }
  QueueLoop loop;
  const auto store = open_store(old.path(), loop);
  const auto before = store->load();
  ASSERT_TRUE(before) << before.error().line();
  EXPECT_TRUE(before->overrides.empty());
  ASSERT_TRUE(write_now(*store, loop, {example_override()}));
  const auto bench = store->load();
  ASSERT_TRUE(bench) << bench.error().line();
  ASSERT_EQ(bench->overrides.size(), 1U);
  ASSERT_EQ(bench->grades.size(), 1U);
  EXPECT_EQ(bench->grades[0].letter, 'D');
}

TEST_F(SchemaTest, a_database_of_another_version_is_not_read_beside_the_daemon) {
  const std::string path = database_path(folder_.path());
  ASSERT_TRUE(open_history(path));
  ASSERT_TRUE(move_to(next_sql));
  const auto newer = open_history(path);
  ASSERT_FALSE(newer);
  EXPECT_NE(newer.error().what.find("newer than this version's"), std::string::npos);
  const TempFolder old;
  {
    auto database = Database::open(database_path(old.path()), Database::Access::read_write);
    ASSERT_TRUE(migrate(*database, schema_steps().first(1), backups()));
  }
  const auto older = open_history(database_path(old.path()));
  ASSERT_FALSE(older);
  EXPECT_NE(older.error().mend.find("start this version's leadwrightd"), std::string::npos);
}

TEST_F(SchemaTest, does_nothing_the_second_time) {
  ASSERT_TRUE(move_to(next_sql));
  ASSERT_TRUE(move_to(next_sql));
  EXPECT_EQ(std::distance(std::filesystem::directory_iterator(backups()), {}), 1);
}

TEST_F(SchemaTest, never_overwrites_a_backup) {
  std::filesystem::create_directories(backups());
  std::filesystem::copy_file(database_path(folder_.path()), backup());
  ASSERT_TRUE(move_to(next_sql));
  EXPECT_EQ(std::distance(std::filesystem::directory_iterator(backups()), {}), 2);
}

TEST_F(SchemaTest, leaves_the_database_as_it_was_when_a_step_fails) {
  EXPECT_FALSE(move_to("CREATE TABLE extra (id INTEGER PRIMARY KEY) STRICT; CREATE TABLE audit (id);"));
  const std::string path = database_path(folder_.path());
  EXPECT_EQ(integer(path, "PRAGMA user_version"), schema_steps().back().version);
  EXPECT_EQ(integer(path, "SELECT count(*) FROM sqlite_schema WHERE name = 'extra'"), 0);
  QueueLoop loop;
  EXPECT_TRUE(open_store(folder_.path(), loop)->load());
}

}  // namespace
}  // namespace leadwright
