// SPDX-License-Identifier: Apache-2.0
#include "daemon/web/assets.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace leadwright {
namespace {

TEST(TakesGzip, where_it_is_named_and_not_refused) {
  EXPECT_TRUE(takes_gzip("gzip"));
  EXPECT_TRUE(takes_gzip("gzip, deflate, br"));
  EXPECT_TRUE(takes_gzip("br;q=1.0, gzip ; q=0.8"));
  EXPECT_FALSE(takes_gzip("br, gzip;q=0.000"));
  EXPECT_FALSE(takes_gzip("gzip;q=0"));
  EXPECT_FALSE(takes_gzip("gzipped, x-gzip-not"));
  EXPECT_FALSE(takes_gzip("identity"));
  EXPECT_FALSE(takes_gzip(""));
}

TEST(AssetReply, is_packed_for_whoever_takes_it_and_says_so_to_caches) {
  const Reply packed = asset_reply("/page.css", "gzip, deflate");
  const Reply plain = asset_reply("/page.css", "");
  const auto header = [](const Reply& reply, std::string_view name) {
    const auto found = std::ranges::find(reply.more, name, &HeaderLines::value_type::first);
    return found == reply.more.end() ? std::string() : found->second;
  };
  EXPECT_EQ(header(packed, "Content-Encoding"), "gzip");
  EXPECT_EQ(header(plain, "Content-Encoding"), "");
  EXPECT_EQ(header(packed, "Vary"), "Accept-Encoding");
  EXPECT_EQ(header(plain, "Vary"), "Accept-Encoding");
  EXPECT_TRUE(packed.body.starts_with("\x1f\x8b\x08")) << "RFC 1952, 2.3";
  EXPECT_EQ(packed.body.substr(4, 4), std::string(4, '\0')) << "the time of packing is not in it";
  EXPECT_LT(packed.body.size(), plain.body.size() / 2);
  EXPECT_EQ(plain.body, asset_at("/page.css").bytes);
  EXPECT_EQ(plain.content_type, "text/css; charset=utf-8");
}

}  // namespace
}  // namespace leadwright
