// SPDX-License-Identifier: Apache-2.0
// A configuration in a folder of its own.
#pragma once

#include <gmock/gmock.h>
#include <stdlib.h>

#include <filesystem>
#include <fstream>

#include "daemon/settings/settings.h"

namespace leadwright {

inline constexpr const char* good_settings = R"(schema = 1
[bench]
name = "test bench"
prefix = "N2"
[web]
port = 0
[[place]]
name = "bay-1"
kind = "bay"
attended_only = false
load = { profile = "a_load", link = "serial:/dev/serial/by-id/load" }
charger = { profile = "a_charger", link = "tcp:127.0.0.1:5025" }
[[place]]
name = "shelf"
kind = "shelf"
)";

class SettingsTest : public ::testing::Test {
 protected:
  void SetUp() override {
    std::string name = (std::filesystem::temp_directory_path() / "leadwright-test-XXXXXX").string();
    ASSERT_NE(::mkdtemp(name.data()), nullptr);
    folder_ = name;
    for (const char* inner : {"profiles", "procedures", "policies", "conf.d"}) {
      std::filesystem::create_directory(folder_ / inner);
    }
    for (const char* file : {"profiles/a_load.toml", "profiles/a_charger.toml", "profiles/a_box.toml",
                             "policies/bench.toml", "estimator.toml"}) {
      std::ofstream(folder_ / file) << "schema = 1\n";
    }
  }
  void TearDown() override { std::filesystem::remove_all(folder_); }

  std::string write(const std::string& text, const std::string& name = "leadwright.toml") const {
    std::ofstream(folder_ / name) << text;
    return (folder_ / name).string();
  }
  Settings read(const std::string& text) const {
    auto settings = read_settings(write(text));
    if (!settings) throw std::runtime_error(settings.error().front().line());
    return *settings;
  }
  /// Lines of the errors, without the folder.
  std::vector<std::string> mistakes(const std::string& text) const {
    std::vector<std::string> lines;
    const auto settings = read_settings(write(text));
    if (settings) return lines;
    for (const Error& error : settings.error()) {
      std::string line = error.line();
      const std::string folder = folder_.string() + "/";
      for (std::size_t at; (at = line.find(folder)) != std::string::npos;) line.erase(at, folder.size());
      lines.push_back(std::move(line));
    }
    return lines;
  }
  /// The good file with one text put in place of another.
  std::vector<std::string> mistakes_with(const std::string& old_text, const std::string& new_text) const {
    std::string text = good_settings;
    const std::size_t at = text.find(old_text);
    EXPECT_NE(at, std::string::npos) << old_text;
    return mistakes(text.replace(at, old_text.size(), new_text));
  }
  std::filesystem::path folder_;
};

}  // namespace leadwright
