// SPDX-License-Identifier: Apache-2.0
#include "protocol/utf8.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

// RFC 3629: C0 80 is an overlong NUL, ED A0 80 a surrogate, F4 90 80 80 beyond U+10FFFF.
TEST(Text, is_clean_only_if_it_is_utf8_without_controls) {
  EXPECT_TRUE(is_clean_text("bay-1 \xC3\xA9 \xE2\x82\xAC \xF0\x9F\x94\x8B"));
  for (const std::string_view bad :
       {std::string_view("\xC0\x80"), std::string_view("\xED\xA0\x80"), std::string_view("\xF4\x90\x80\x80"),
        std::string_view("\xE2\x82"), std::string_view("a\nb"), std::string_view("\x7F"),
        std::string_view("\xC2\x85"), std::string_view("\x80")}) {
    EXPECT_FALSE(is_clean_text(bad));
  }
}

TEST(Text, keeps_every_character_and_shows_where_a_byte_is_none) {
  constexpr std::string_view sound = "bay-1\t\xC3\xA9 \xE2\x82\xAC \xF0\x9F\x94\x8B\n";
  EXPECT_EQ(well_formed(sound), sound);
  EXPECT_EQ(well_formed("A\xFF\xC3"), "A\xEF\xBF\xBD\xEF\xBF\xBD");
  EXPECT_EQ(well_formed("\xE2\x82x"), "\xEF\xBF\xBD\xEF\xBF\xBDx") << "a cut character is no character";
  EXPECT_EQ(well_formed(""), "");
}

TEST(Text, loses_the_blanks_at_its_ends_alone) {
  EXPECT_EQ(trimmed(" \t a b\r\n"), "a b");
  EXPECT_EQ(trimmed("a\n", " \t"), "a\n");
  EXPECT_EQ(trimmed(" \t\r\n"), "");
  EXPECT_EQ(trimmed(""), "");
}

}  // namespace
}  // namespace leadwright
