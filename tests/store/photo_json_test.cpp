// SPDX-License-Identifier: Apache-2.0
// A photo as it is handed in.
#include "daemon/store/photo_json.h"

#include <gtest/gtest.h>

namespace leadwright {
namespace {

using namespace std::string_literals;

/// A grey square of eight points, by ITU-T T.81, with a comment that must not stay.
const std::string bare =
    "\xFF\xD8\xFF\xC0\0\x0B\x08\0\x08\0\x08\x01\x01\x11\0\xFF\xDA\0\x08\x01\x01\0\0\x3F\0\x3F\xFF\xD9"s;
const std::string with_comment = bare.substr(0, 2) + "\xFF\xFE\0\x06 who"s + bare.substr(2);

TEST(PhotoJson, comes_back_without_what_the_camera_wrote_beside_the_picture) {
  const auto photo = parse_photo(photo_json({"the label", with_comment}));
  ASSERT_TRUE(photo) << photo.error().line();
  EXPECT_EQ(photo->about, "the label");
  EXPECT_EQ(photo->jpeg, bare);
}

TEST(PhotoJson, says_every_mistake_at_once) {
  const auto photo = parse_photo(R"({"about":"two\nlines","jpeg":"not base64!","photographer":"x"})");
  ASSERT_FALSE(photo);
  const std::string line = photo.error().line();
  EXPECT_NE(line.find("about"), std::string::npos) << line;
  EXPECT_NE(line.find("this is not base64"), std::string::npos) << line;
  EXPECT_NE(line.find("photographer"), std::string::npos) << line;
}

TEST(PhotoJson, refuses_what_is_no_jpeg_and_what_is_missing) {
  EXPECT_FALSE(parse_photo(photo_json({"", "GIF89a"})));
  EXPECT_FALSE(parse_photo(R"({"about":"nothing"})"));
  EXPECT_FALSE(parse_photo("[]"));
}

TEST(PhotoJson, refuses_one_that_is_too_large) {
  std::string large = bare;
  large.insert(large.size() - 2, std::string(Photo::bytes_max - bare.size() + 1, '\x11'));
  EXPECT_FALSE(parse_photo(photo_json({"", large})));
  large.erase(large.size() - 3, 1);
  const auto photo = parse_photo(photo_json({"", large}));
  ASSERT_TRUE(photo) << photo.error().line();
  EXPECT_EQ(photo->jpeg.size(), Photo::bytes_max);
}

}  // namespace
}  // namespace leadwright
