// SPDX-License-Identifier: Apache-2.0
#include "daemon/certificate/signing.h"

#include <gtest/gtest.h>

#include <array>
#include <string>
#include <string_view>
#include <utility>

namespace leadwright {
namespace {

// RFC 4648, section 10, without the padding.
constexpr std::array<std::pair<const char*, const char*>, 7> rfc_4648_vectors{{{"", ""},
                                                                               {"f", "Zg"},
                                                                               {"fo", "Zm8"},
                                                                               {"foo", "Zm9v"},
                                                                               {"foob", "Zm9vYg"},
                                                                               {"fooba", "Zm9vYmE"},
                                                                               {"foobar", "Zm9vYmFy"}}};

TEST(Signing, WritesBase64AsTheStandardDoes) {
  for (const auto& [bytes, text] : rfc_4648_vectors) EXPECT_EQ(base64(std::string_view(bytes)), text);
}

TEST(Signing, ReadsBase64AsTheStandardDoes) {
  for (const auto& [bytes, text] : rfc_4648_vectors) EXPECT_EQ(from_base64(text).value_or("refused"), bytes);
}

// "Zh" holds the bits of "f" and four more that no writer sets; 0xC1 is 'A' with its highest bit set.
TEST(Signing, ReadsBytesWrittenOneWayOnly) {
  for (const char* other : {"Zh", "Zg==", "Zg ", " Zg", "Z+8/", "\xc1\xc1", "Z"}) {
    EXPECT_FALSE(from_base64(other)) << other;
  }
}

TEST(Signing, NoByteAbove127IsADigit) {
  for (int byte = 128; byte < 256; ++byte) {
    std::string text = "AAAA";
    text.back() = static_cast<char>(byte);
    EXPECT_FALSE(from_base64(text)) << byte;
  }
}

TEST(Signing, AKeyIsReadBackFromItsTextAndFromNothingElse) {
  const auto secret = new_key();
  ASSERT_TRUE(secret);
  const PublicKey key = public_key_of(*secret);
  const std::string text = text_of(key);
  EXPECT_EQ(parse_public_key(" " + text + "\r\n").value_or(PublicKey{}), key);
  EXPECT_FALSE(parse_public_key(text.substr(1)));
  EXPECT_FALSE(parse_public_key(text + "A"));
  std::string high = text;
  high.back() = static_cast<char>(high.back() | 0x80);
  EXPECT_FALSE(parse_public_key(high));
}

}  // namespace
}  // namespace leadwright
