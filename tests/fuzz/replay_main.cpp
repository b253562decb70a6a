// SPDX-License-Identifier: Apache-2.0
// Runs a fuzz target over every file of the folders given, in order of name: the corpus as an ordinary test.
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "tests/fuzz/target.h"

namespace {

std::vector<std::filesystem::path> files_of(const char* folder) {
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  return files;
}

void run(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  const std::string bytes{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
  leadwright::promise(!file.bad(), "a corpus file can be read");
  // Said before, so that the last line names the file that broke a promise.
  std::printf("%s: %zu bytes\n", path.c_str(), bytes.size());
  std::fflush(stdout);
  LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size());
}

}  // namespace

int main(int count, char** words) {
  std::size_t files = 0;
  for (int i = 1; i < count; ++i) {
    for (const auto& path : files_of(words[i])) {
      run(path);
      ++files;
    }
  }
  leadwright::promise(files > 0, "there is a corpus");
  return 0;
}
