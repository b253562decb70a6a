// SPDX-License-Identifier: Apache-2.0
// Every single change, removal and swap in a chain of rows is found.
#include "daemon/store/audit.h"

#include <gmock/gmock.h>

#include "daemon/store/database.h"
#include "tests/store/store_world.h"

namespace leadwright {
namespace {

using ::testing::HasSubstr;

constexpr int row_count = 50;

class AuditTest : public ::testing::Test {
 protected:
  static void SetUpTestSuite() {
    folder_ = new TempFolder;
    make_database(folder_->path(), row_count);
  }
  static void TearDownTestSuite() { delete std::exchange(folder_, nullptr); }

  /// Verifies a copy after `sql` was done to it.
  static Result<AuditProof> after(const std::string& sql) {
    const TempFolder copy;
    const std::string path = database_path(copy.path());
    std::filesystem::copy_file(database_path(folder_->path()), path);
    {
      auto database = Database::open(path, Database::Access::read_write);
      const auto done = database->execute(sql);
      EXPECT_TRUE(done) << sql << ": " << done.error().line();
    }
    return verify_audit(path);
  }
  static TempFolder* folder_;
};
TempFolder* AuditTest::folder_ = nullptr;

TEST_F(AuditTest, proves_a_chain_that_nobody_touched) {
  const auto proof = after("");
  ASSERT_TRUE(proof) << proof.error().line();
  EXPECT_EQ(proof->rows, row_count);
  EXPECT_EQ(proof->hash.size(), 64U);
}

TEST_F(AuditTest, finds_a_change_of_any_column_in_any_row) {
  for (int row = 1; row <= row_count; row += 7) {
    for (const char* change : {"at = at + 1", "actor = 'sam'", "what = what || '.'", "subject = ''",
                               "why = 'x'", "hash = zeroblob(32)"}) {
      const auto proof =
          after("UPDATE audit SET " + std::string(change) + " WHERE id = " + std::to_string(row));
      ASSERT_FALSE(proof) << change << " in row " << row;
      EXPECT_EQ(proof.error().code, Errc::not_verified);
      EXPECT_THAT(proof.error().what, HasSubstr("row " + std::to_string(row) + " "));
    }
  }
}

TEST_F(AuditTest, finds_a_text_that_moved_from_one_column_to_the_next) {
  EXPECT_FALSE(after("UPDATE audit SET actor = actor || what, what = '' WHERE id = 9"));
}

TEST_F(AuditTest, finds_a_row_that_was_removed_wherever_it_stood) {
  for (const int row : {1, 2, row_count / 2, row_count - 1, row_count}) {
    const auto proof = after("DELETE FROM audit WHERE id = " + std::to_string(row));
    ASSERT_FALSE(proof) << row;
    EXPECT_THAT(proof.error().what, HasSubstr("row " + std::to_string(row) + " is missing"));
  }
}

TEST_F(AuditTest, finds_a_removed_row_whose_followers_were_numbered_anew) {
  EXPECT_FALSE(after("DELETE FROM audit WHERE id = 9; UPDATE audit SET id = id - 1 WHERE id > 9"));
}

TEST_F(AuditTest, finds_two_rows_that_changed_places) {
  EXPECT_FALSE(
      after("UPDATE audit SET id = 1000 WHERE id = 5; UPDATE audit SET id = 5 WHERE id = 6;"
            "UPDATE audit SET id = 6 WHERE id = 1000"));
}

TEST_F(AuditTest, finds_a_row_that_was_added_at_the_end) {
  EXPECT_FALSE(
      after("INSERT INTO audit SELECT id + 1, at, actor, what, subject, why, hash FROM audit "
            "ORDER BY id DESC LIMIT 1"));
}

TEST_F(AuditTest, finds_a_chain_whose_stored_end_is_gone) {
  EXPECT_FALSE(after("DELETE FROM meta"));
}

TEST_F(AuditTest, proves_an_empty_chain) {
  const TempFolder folder;
  make_database(folder.path());
  const auto proof = verify_audit(database_path(folder.path()));
  ASSERT_TRUE(proof) << proof.error().line();
  EXPECT_EQ(proof->rows, 0);
  EXPECT_EQ(proof->hash, std::string(64, '0'));
}

TEST_F(AuditTest, says_that_a_file_is_not_there) {
  EXPECT_EQ(verify_audit("/nowhere/leadwright.sqlite").error().code, Errc::io);
}

// Expected value: computed apart from this code with Python 3's hashlib.blake2b(digest_size=32) over 32 zero
// bytes and the canonical text that audit.h documents.
TEST_F(AuditTest, hashes_the_documented_text) {
  const AuditEntry entry{Utc(5), "pat", "ticket.move", "T-000001-9", "h\xC3\xA9"};
  const AuditHash hash = audit_hash(AuditHash{}, 1, entry);
  std::string hex;
  for (const unsigned char byte : hash) {
    hex += "0123456789abcdef"[byte >> 4];
    hex += "0123456789abcdef"[byte & 15];
  }
  EXPECT_EQ(hex, "5f9b46eb500d8c641265b0bce8ce801e3895f80f8203e2d437da6b491df4dbb9");
}

}  // namespace
}  // namespace leadwright
