// SPDX-License-Identifier: Apache-2.0
#include "daemon/web/assets.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <regex>
#include <set>
#include <string>
#include <vector>

namespace leadwright {
namespace {

/// What a file asks for as soon as it is loaded: not what an import() fetches when somebody opens a view.
std::set<std::string> asked_at_once(std::string_view path, std::string_view language) {
  const std::string text(asset_at(path).bytes);
  std::set<std::string> paths;
  const std::regex at_once(R"re((?:from |href=|src=)"(/[a-z_]+\.[a-z]+)")re");
  for (std::sregex_iterator found(text.begin(), text.end(), at_once), end; found != end; ++found)
    paths.insert((*found)[1]);
  std::smatch tables;
  if (path == "/words.js" && std::regex_search(text, tables, std::regex(R"(const tables = \[([^\]]+)\])"))) {
    const std::string names = tables[1];
    const std::regex name("\"([a-z_]+)\"");
    for (std::sregex_iterator found(names.begin(), names.end(), name), end; found != end; ++found)
      paths.insert("/" + found->str(1) + "_" + std::string(language) + ".js");
  }
  return paths;
}

std::set<std::string> first_load(std::string_view language) {
  std::set<std::string> loaded;
  std::vector<std::string> open{"/"};
  while (!open.empty()) {
    const std::string path = open.back();
    open.pop_back();
    if (!loaded.insert(path).second) continue;
    for (const std::string& asked : asked_at_once(path, language)) open.push_back(asked);
  }
  return loaded;
}

TEST(Assets, of_the_first_load_are_less_than_80_kB_in_each_language) {
  for (const std::string_view language : {"en", "es"}) {
    std::size_t size = 0;
    const std::set<std::string> loaded = first_load(language);
    for (const std::string& path : loaded) size += asset_at(path).gzip.size();
    EXPECT_TRUE(loaded.contains("/page.css") && loaded.contains("/places.js")) << language;
    EXPECT_TRUE(loaded.contains("/course_" + std::string(language) + ".js"));
    EXPECT_FALSE(loaded.contains("/fitting.js")) << "a view that not everybody opens";
    EXPECT_LT(size, 80000U) << language;
  }
}

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
