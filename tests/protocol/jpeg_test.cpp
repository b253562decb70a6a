// SPDX-License-Identifier: Apache-2.0
// What stays of a photo. The segments are put together here by ITU-T T.81, annex B.
#include "protocol/jpeg.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

using namespace std::string_literals;

std::string segment(char marker, const std::string& payload) {
  const std::size_t length = payload.size() + 2;
  return "\xFF"s + marker + static_cast<char>(length >> 8U) + static_cast<char>(length & 0xFFU) + payload;
}

const std::string first_mark = "\xFF\xD8"s;
const std::string last_mark = "\xFF\xD9"s;
const std::string frame_part = segment('\xC0', "\x08\0\x08\0\x08\x01\x01\x11\0"s);
const std::string table_part = segment('\xC4', "\0\xFF\xD9\0"s);
// Coded data with a stuffed 0xFF and a restart, which end nothing.
const std::string scan_part = segment('\xDA', "\x01\x01\0\0\x3F\0"s) + "\x3F\xFF\0\x12\xFF\xD0\x34"s;

TEST(BareJpeg, loses_what_says_where_and_when_it_was_taken) {
  const std::string place = segment('\xE1', "Exif\0\0 48.85 N 2.35 E"s);
  const std::string comment = segment('\xFE', "taken by somebody"s);
  const std::string maker = segment('\xED', "a maker's own"s);
  const std::string jfif = segment('\xE0', "JFIF\0\x01\x01\0\0\x01\0\x01\0\0"s);
  const std::string colours = segment('\xEE', "Adobe\0\x64\0\0\0\0\x01"s);
  const auto bare = bare_jpeg(first_mark + place + jfif + comment + colours + maker + table_part +
                              frame_part + scan_part + last_mark + "a tail");
  ASSERT_TRUE(bare) << bare.error().line();
  EXPECT_EQ(*bare, first_mark + jfif + colours + table_part + frame_part + scan_part + last_mark);
}

TEST(BareJpeg, takes_a_picture_of_several_scans_whose_tables_look_like_an_end) {
  const std::string several = first_mark + frame_part + scan_part + table_part + scan_part + last_mark;
  EXPECT_EQ(bare_jpeg(several), several);
}

TEST(BareJpeg, is_no_picture_when_it_is_cut_off_anywhere) {
  const std::string whole = first_mark + table_part + frame_part + scan_part + last_mark;
  ASSERT_TRUE(bare_jpeg(whole));
  for (std::size_t size = 0; size < whole.size(); ++size) {
    const auto cut = bare_jpeg(std::string_view(whole).substr(0, size));
    ASSERT_FALSE(cut) << size;
    EXPECT_EQ(cut.error().code, Errc::bad_input);
  }
}

TEST(BareJpeg, refuses_other_files) {
  EXPECT_FALSE(bare_jpeg("\x89PNG\r\n\x1A\n"));
  EXPECT_FALSE(bare_jpeg(first_mark + last_mark));
  EXPECT_FALSE(bare_jpeg(first_mark + frame_part + last_mark));
  EXPECT_FALSE(bare_jpeg(first_mark + scan_part + last_mark));
}

}  // namespace
}  // namespace leadwright
