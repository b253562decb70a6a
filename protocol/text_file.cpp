// SPDX-License-Identifier: Apache-2.0
#include "protocol/text_file.h"

#include <filesystem>
#include <fstream>
#include <iterator>

namespace leadwright {

namespace {
constexpr std::uintmax_t file_size_max = 262'144;
}  // namespace

Result<std::string> read_text_file(const std::string& path) {
  std::error_code bad;
  const auto size = std::filesystem::file_size(path, bad);
  if (bad) return fail(Errc::io, "the file can't be read: " + bad.message(), path, "check the path");
  if (size > file_size_max) return fail(Errc::bad_input, "the file is larger than 256 KiB", path);
  std::ifstream stream(path, std::ios::binary);
  std::string text((std::istreambuf_iterator<char>(stream)), std::istreambuf_iterator<char>());
  if (!stream.is_open() || stream.bad()) return fail(Errc::io, "the file can't be read", path);
  return text;
}

}  // namespace leadwright
