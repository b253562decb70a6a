// SPDX-License-Identifier: Apache-2.0
#include "protocol/toml_reader.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace leadwright {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

std::vector<std::string> lines(const TomlDocument& document) {
  std::vector<std::string> result;
  for (const Error& error : document.errors()) result.push_back(error.line());
  return result;
}

TEST(TomlReader, reads_every_kind_of_value) {
  TomlDocument document = TomlDocument::parse(R"(schema = 1
text = "x"
whole = 3
real = 2.5
yes = true
words = ["a", "b"]
amounts = [1, 2.5]
inner = { deep = 4 }
[[list]]
n = 1
[[list]]
n = 2
)",
                                              "f.toml");
  const TomlTable& root = document.root();
  EXPECT_EQ(root.need_string("text"), "x");
  EXPECT_EQ(root.need_integer("whole"), 3);
  EXPECT_DOUBLE_EQ(root.need_number("whole"), 3.0);
  EXPECT_DOUBLE_EQ(root.need_number("real"), 2.5);
  EXPECT_EQ(root.boolean("yes"), true);
  EXPECT_THAT(root.strings("words"), ElementsAre("a", "b"));
  EXPECT_THAT(root.numbers("amounts"), ElementsAre(1.0, 2.5));
  EXPECT_EQ(root.need_table("inner").need_integer("deep"), 4);
  const std::vector<TomlTable> list = root.tables("list");
  ASSERT_EQ(list.size(), 2U);
  EXPECT_EQ(list[0].need_integer("n"), 1);
  EXPECT_EQ(list[1].need_integer("n"), 2);
  document.finish();
  EXPECT_THAT(lines(document), IsEmpty());
}

TEST(TomlReader, treats_what_is_absent_as_absent_without_an_error) {
  TomlDocument document = TomlDocument::parse("schema = 1\n", "f.toml");
  const TomlTable& root = document.root();
  EXPECT_EQ(root.string("a"), std::nullopt);
  EXPECT_EQ(root.number("b"), std::nullopt);
  EXPECT_FALSE(root.table("c").has_value());
  EXPECT_THAT(root.tables("d"), IsEmpty());
  EXPECT_THAT(root.strings("e"), IsEmpty());
  document.finish();
  EXPECT_THAT(lines(document), IsEmpty());
}

TEST(TomlReader, reports_all_errors_at_once_in_file_order_with_line_and_column) {
  TomlDocument document = TomlDocument::parse(R"(schema = 1
count = "three"
[link]
tiemout = 3
timeout_unit = 1.5
)",
                                              "f.toml");
  const TomlTable link = document.root().need_table("link");
  link.integer("timeout_unit");
  link.number("timeout");
  document.root().need_integer("count");
  document.finish();
  EXPECT_THAT(lines(document),
              ElementsAre("f.toml:2:9: `count` must be an integer, but is a string",
                          "f.toml:4:1: unknown key `tiemout`: did you mean `timeout`?",
                          "f.toml:5:16: `timeout_unit` must be an integer, but is a number"));
}

TEST(TomlReader, reports_a_missing_key_at_its_table) {
  TomlDocument document = TomlDocument::parse("schema = 1\n[link]\n", "f.toml");
  document.root().need_table("link").need_number("port");
  document.finish();
  EXPECT_THAT(lines(document), ElementsAre("f.toml:2:1: missing key `port`: add port = NUMBER"));
}

TEST(TomlReader, reports_a_missing_table_once_and_not_each_key_in_it) {
  TomlDocument document = TomlDocument::parse("schema = 1\n", "f.toml");
  const TomlTable link = document.root().need_table("link");
  link.need_number("port");
  link.need_table("more").need_string("x");
  document.finish();
  EXPECT_THAT(lines(document), ElementsAre(HasSubstr("missing key `link`")));
}

TEST(TomlReader, finds_unknown_keys_inside_arrays_of_tables) {
  TomlDocument document = TomlDocument::parse("schema = 1\n[[s]]\nn = 1\n[[s]]\nm = 1\n", "f.toml");
  for (const TomlTable& table : document.root().tables("s")) table.integer("n");
  document.finish();
  EXPECT_THAT(lines(document), ElementsAre("f.toml:5:1: unknown key `m`: did you mean `n`?"));
}

TEST(TomlReader, demands_the_schema) {
  TomlDocument document = TomlDocument::parse("", "f.toml");
  document.finish();
  EXPECT_THAT(lines(document), ElementsAre(HasSubstr("missing key `schema`")));
}

TEST(TomlReader, refuses_a_schema_that_it_does_not_know) {
  TomlDocument document = TomlDocument::parse("schema = 2\n", "f.toml");
  document.finish();
  EXPECT_THAT(lines(document),
              ElementsAre("f.toml:1:10: this program reads schema 1 only: write schema = 1"));
}

TEST(TomlReader, reports_a_syntax_error_with_its_place_and_nothing_that_follows_from_it) {
  TomlDocument document = TomlDocument::parse("schema = 1\nx = = 2\n", "f.toml");
  document.root().need_string("name");
  document.finish();
  ASSERT_EQ(document.errors().size(), 1U);
  EXPECT_EQ(document.errors().front().where, "f.toml:2:5");
}

TEST(TomlReader, reports_a_file_that_it_cannot_read) {
  const TomlDocument document = TomlDocument::load("/nonexistent/f.toml");
  ASSERT_EQ(document.errors().size(), 1U);
  EXPECT_EQ(document.errors().front().where, "/nonexistent/f.toml");
}

TEST(TomlReader, refuses_numbers_that_are_not_finite) {
  TomlDocument document = TomlDocument::parse("schema = 1\nx = inf\ny = [1.0, nan]\n", "f.toml");
  EXPECT_EQ(document.root().number("x"), std::nullopt);
  EXPECT_THAT(document.root().numbers("y"), ElementsAre(1.0));
  EXPECT_EQ(document.errors().size(), 2U);
}

TEST(TomlReader, says_where_a_key_stands) {
  const TomlDocument document = TomlDocument::parse("schema = 1\n\n  x = 5\n", "f.toml");
  EXPECT_EQ(document.root().where("x"), "f.toml:3:7");
  EXPECT_EQ(document.root().where("absent"), "f.toml:1:1");
}

TEST(TomlReader, adds_an_error_of_its_user_at_a_key) {
  const TomlDocument document = TomlDocument::parse("schema = 1\nx = 5\n", "f.toml");
  document.root().error("x", "too much", "write 4");
  EXPECT_THAT(lines(document), ElementsAre("f.toml:2:5: too much: write 4"));
}

TEST(NearMatch, finds_a_misspelt_word_and_nothing_far_from_it) {
  const std::vector<std::string> names{"timeout_ms", "gap_ms", "allow"};
  EXPECT_EQ(near_match("tiemout_ms", names), "timeout_ms");
  EXPECT_EQ(near_match("alow", names), "allow");
  EXPECT_EQ(near_match("zebra", names), "");
  EXPECT_EQ(near_match("x", {}), "");
}

}  // namespace
}  // namespace leadwright
