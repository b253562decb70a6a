// SPDX-License-Identifier: Apache-2.0
// The token file, and what a bench that asks for tokens lets whom do.
#include "daemon/web/tokens.h"

#include <gmock/gmock.h>
#include <sys/stat.h>

#include <fstream>
#include <iterator>

#include "daemon/web/admit.h"
#include "daemon/web/sign_in.h"
#include "tests/store/store_world.h"

namespace leadwright {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing::SizeIs;

class TokensTest : public testing::Test {
 protected:
  std::string made(const std::string& name, Rank rank) {
    auto token = add_token(folder_.path(), name, rank, Utc());
    EXPECT_TRUE(token) << token.error().line();
    return token.value_or("");
  }
  std::string file() const {
    std::ifstream in(token_path(folder_.path()));
    return {std::istreambuf_iterator<char>(in), {}};
  }
  TempFolder folder_;
};

TEST_F(TokensTest, a_token_is_told_once_and_its_file_holds_a_hash_that_only_its_owner_reads) {
  const std::string token = made("counter", Rank::operator_);
  EXPECT_THAT(file(), Not(HasSubstr(token.substr(4))));
  struct stat about {};
  ASSERT_EQ(::stat(token_path(folder_.path()).c_str(), &about), 0);
  EXPECT_EQ(about.st_mode & 0777U, 0600U);
  EXPECT_NE(made("office", Rank::viewer), token);
}

TEST_F(TokensTest, its_holder_is_known_by_it_and_nobody_by_anything_else) {
  const std::string token = made("counter", Rank::operator_);
  made("office", Rank::viewer);
  Tokens tokens(folder_.path());
  const auto holder = tokens.holder(token);
  ASSERT_TRUE(holder);
  EXPECT_EQ(holder->name, "counter");
  EXPECT_EQ(holder->rank, Rank::operator_);
  for (const std::string& other : {std::string(), token + "x", token.substr(1), token_hash(token)}) {
    EXPECT_FALSE(tokens.holder(other)) << other;
  }
}

TEST_F(TokensTest, a_revoked_token_is_nobodys) {
  const std::string token = made("counter", Rank::operator_);
  const std::string other = made("office", Rank::viewer);
  Tokens tokens(folder_.path());
  EXPECT_TRUE(tokens.holder(token));
  ASSERT_TRUE(revoke_token(folder_.path(), "counter"));
  EXPECT_FALSE(tokens.holder(token));
  EXPECT_TRUE(tokens.holder(other));
  EXPECT_EQ(revoke_token(folder_.path(), "counter").error().code, Errc::not_found);
}

TEST_F(TokensTest, a_file_that_is_damaged_or_absent_lets_nobody_in) {
  EXPECT_FALSE(Tokens(folder_.path()).holder(""));
  const std::string token = made("counter", Rank::operator_);
  std::ofstream(token_path(folder_.path()), std::ios::app) << "supervisor 12 now thief\n";
  EXPECT_FALSE(Tokens(folder_.path()).holder(token));
  const auto read = read_tokens(folder_.path());
  ASSERT_FALSE(read);
  EXPECT_THAT(read.error().where, HasSubstr("tokens:2"));
}

TEST_F(TokensTest, a_name_is_taken_once_and_has_no_blanks) {
  made("counter", Rank::viewer);
  EXPECT_EQ(add_token(folder_.path(), "counter", Rank::viewer, Utc()).error().code, Errc::conflict);
  for (const char* name : {"", "two words", "line\n", "../up", "a/b"}) {
    EXPECT_EQ(add_token(folder_.path(), name, Rank::viewer, Utc()).error().code, Errc::bad_input) << name;
  }
  EXPECT_THAT(*read_tokens(folder_.path()), SizeIs(1));
}

TEST_F(TokensTest, two_programs_do_not_write_over_each_other) {
  std::ofstream(token_path(folder_.path()) + ".new") << "";
  EXPECT_EQ(add_token(folder_.path(), "counter", Rank::viewer, Utc()).error().code, Errc::busy);
}

class AccessTest : public TokensTest {
 protected:
  void SetUp() override {
    for (const Rank rank : {Rank::viewer, Rank::operator_, Rank::supervisor}) {
      bearer_.push_back("Bearer " + made(std::string(word(rank)), rank));
    }
    access_ = {8417, {"bench.example"}, true, std::make_shared<Tokens>(folder_.path())};
  }
  Head head(std::string_view method, std::string_view target) const {
    Head head;
    head.method = method;
    head.target = target;
    head.host_lines = 1;
    head.host = "bench.example";
    head.actor = "ana";
    return head;
  }
  int status(Head head, Rank as) const {
    head.authorization = bearer_.at(static_cast<std::size_t>(as) - 1);
    const auto verdict = admit(head, access_);
    return verdict ? 200 : verdict.error().status;
  }
  std::vector<std::string> bearer_;  ///< viewer, operator, supervisor
  Access access_;
};

TEST_F(AccessTest, asks_for_a_token_for_everything_but_the_page_and_what_tells_nothing) {
  for (const Route& route : routes()) {
    std::string path(route.pattern);
    if (const auto hole = path.find('{'); hole != std::string::npos)
      path.replace(hole, path.find('}') + 1 - hole, "x");
    const auto verdict = admit(head(route.method, path), access_);
    if (route.needs == Rank::anybody) {
      EXPECT_TRUE(verdict) << path;
      continue;
    }
    ASSERT_FALSE(verdict) << path;
    EXPECT_EQ(verdict.error().status, 401) << path;
    EXPECT_EQ(verdict.error().content_type, "application/problem+json");
  }
}

TEST_F(AccessTest, lets_each_rank_do_what_the_table_says_and_everybody_switch_off) {
  EXPECT_EQ(status(head("GET", "/api/v1/bench"), Rank::viewer), 200);
  EXPECT_EQ(status(head("POST", "/api/v1/stop"), Rank::viewer), 200);
  EXPECT_EQ(status(head("POST", "/api/v1/places/bay-1/stop"), Rank::viewer), 200);
  EXPECT_EQ(status(head("POST", "/api/v1/tickets"), Rank::viewer), 403);
  EXPECT_EQ(status(head("POST", "/api/v1/tickets"), Rank::operator_), 200);
  EXPECT_EQ(status(head("POST", "/api/v1/places/bay-1/in_service"), Rank::operator_), 403);
  EXPECT_EQ(status(head("POST", "/api/v1/places/bay-1/in_service"), Rank::supervisor), 200);
}

TEST_F(AccessTest, writes_the_tokens_name_beside_the_one_that_was_given) {
  Head change = head("POST", "/api/v1/stop");
  change.authorization = bearer_[1];
  EXPECT_EQ(admit(change, access_)->request.actor, "ana (token operator)");
  change.actor = "operator";
  EXPECT_EQ(admit(change, access_)->request.actor, "operator");
}

TEST_F(AccessTest, takes_the_token_out_of_the_cookie_of_its_own_site_only) {
  const std::string cookie = "a=b; leadwright-token=" + bearer_[1].substr(sizeof "Bearer " - 1) + "; c=d";
  Head change = head("POST", "/api/v1/tickets");
  change.cookie = cookie;
  EXPECT_TRUE(admit(change, access_));
  change.origin = "https://bench.example";
  EXPECT_TRUE(admit(change, access_));
  for (const char* origin :
       {"https://evil.example", "https://bench.example.evil", "https://bench.example:1", "null"}) {
    change.origin = origin;
    EXPECT_EQ(admit(change, access_).error().status, 403) << origin;
  }
  change.origin = {};
  change.cookie = "leadwright-token-2=x; xleadwright-token=y";
  EXPECT_EQ(admit(change, access_).error().status, 401);
}

TEST_F(AccessTest, answers_under_its_names_only) {
  Head read = head("GET", "/healthz");
  EXPECT_TRUE(admit(read, access_));
  read.host = "other.example";
  EXPECT_EQ(admit(read, access_).error().status, 421);
}

TEST_F(AccessTest, keeps_a_browsers_token_where_no_script_reads_it_and_takes_it_back) {
  Head begin = head("POST", "/api/v1/session");
  begin.authorization = bearer_[1];
  const Reply kept = sign_in_reply(*admit(begin, access_), access_);
  ASSERT_THAT(kept.more, SizeIs(1));
  EXPECT_THAT(kept.more[0].second, HasSubstr("HttpOnly; SameSite=Strict; Secure"));
  EXPECT_THAT(kept.body, HasSubstr(R"("holder":"operator","rank":"operator")"));
  const Reply ended = sign_in_reply(*admit(head("POST", "/api/v1/session/end"), access_), access_);
  EXPECT_THAT(ended.more[0].second, HasSubstr("leadwright-token=; Path=/; Max-Age=0"));
  const Reply open = sign_in_reply(*admit(head("POST", "/api/v1/session"), Access{8417, {"bench.example"}}),
                                   Access{8417, {"bench.example"}});
  EXPECT_THAT(open.more, IsEmpty());
  EXPECT_THAT(open.body, HasSubstr(R"("tokens":false)"));
}

}  // namespace
}  // namespace leadwright
