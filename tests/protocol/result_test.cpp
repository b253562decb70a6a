// SPDX-License-Identifier: Apache-2.0
#include "protocol/result.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

TEST(Error, reads_as_one_line_of_where_what_and_mend) {
  const Error error{Errc::busy, "the port is open", "serial:/dev/x", "close it"};
  EXPECT_EQ(error.line(), "serial:/dev/x: the port is open: close it");
}

TEST(Error, leaves_out_what_is_empty) {
  const Error error{Errc::timed_out, "no answer", "", ""};
  EXPECT_EQ(error.line(), "no answer");
}

TEST(Error, has_a_stable_word_for_its_code) {
  EXPECT_STREQ(word(Errc::not_verified), "not_verified");
  EXPECT_STREQ(word(Errc::link_lost), "link_lost");
}

TEST(Result, passes_an_error_on_unchanged_to_another_type) {
  Result<int> failed = fail(Errc::garbled, "what", "where", "mend");
  const Result<std::string> other = pass(failed);
  ASSERT_FALSE(other);
  EXPECT_EQ(other.error().code, Errc::garbled);
  EXPECT_EQ(other.error().line(), "where: what: mend");
}

}  // namespace
}  // namespace leadwright
