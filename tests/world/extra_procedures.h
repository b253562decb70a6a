// SPDX-License-Identifier: Apache-2.0
// The shipped procedures and some that only a test has, in a folder of its own.
#pragma once

#include <stdlib.h>

#include <filesystem>
#include <fstream>
#include <string>
#include <utility>

namespace leadwright {

class ExtraProcedures {
 public:
  ExtraProcedures() {
    std::string name = (std::filesystem::temp_directory_path() / "leadwright-test-XXXXXX").string();
    if (::mkdtemp(name.data()) == nullptr) std::abort();
    folder_ = name;
    for (const auto& shipped :
         std::filesystem::directory_iterator(LEADWRIGHT_SOURCE_DIR "/config/procedures")) {
      std::filesystem::copy(shipped.path(), folder_);
    }
  }
  ExtraProcedures(const ExtraProcedures&) = delete;
  ExtraProcedures& operator=(const ExtraProcedures&) = delete;
  ~ExtraProcedures() { std::filesystem::remove_all(folder_); }

  /// A procedure of this name with steps as TOML; it needs load, charger and thermometer.
  void add(const std::string& name, const std::string& steps, const std::string& head = "") {
    std::ofstream(folder_ / (name + ".toml"))
        << "schema = 1\nname = \"" << name << "\"\nversion = 1\nwhat = \"Of a test.\"\n"
        << "needs = [\"load\", \"charger\", \"thermometer\"]\n"
        << head << steps;
  }
  std::string folder() const { return folder_.string(); }

 private:
  std::filesystem::path folder_;
};

/// One step of a procedure.
inline std::string test_step(const std::string& name, const std::string& kind, const std::string& rest) {
  return "[[step]]\nname = \"" + name + "\"\ndo = \"" + kind + "\"\nwhat = \"Of a test.\"\n" + rest + "\n";
}

}  // namespace leadwright
