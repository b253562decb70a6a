// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument/link_owner.h"

#include <arpa/inet.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <sys/sysmacros.h>
#include <unistd.h>

#include <array>
#include <charconv>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iterator>
#include <sstream>
#include <vector>

namespace leadwright {

namespace {

namespace fs = std::filesystem;

/// "leadwrightd, process 1234"; empty if there is no such process.
std::string process_text(const std::string& number) {
  std::ifstream file("/proc/" + number + "/comm");
  std::string name;
  if (!std::getline(file, name)) return {};
  return name + ", process " + number;
}

/// Columns of one line of a table under /proc.
std::vector<std::string> columns(const std::string& line) {
  std::istringstream stream(line);
  std::vector<std::string> words;
  for (std::string word; stream >> word;) words.push_back(word);
  return words;
}

/// The process that took the lock which our own links take. Format: proc(5), /proc/locks.
std::string lock_owner(const struct stat& device) {
  const std::string file =
      fmt::format("{:02x}:{:02x}:{}", major(device.st_dev), minor(device.st_dev), device.st_ino);
  std::ifstream locks("/proc/locks");
  for (std::string line; std::getline(locks, line);) {
    const auto words = columns(line);
    // "1: FLOCK ADVISORY WRITE 1234 00:18:5 0 EOF"; the process may have passed it on and be gone.
    if (words.size() >= 6 && words[1] == "FLOCK" && words[5] == file) return process_text(words[4]);
  }
  return {};
}

/// The first other process with a descriptor that `is_it`, given its path under /proc.
std::string descriptor_owner(const std::function<bool(const fs::path&)>& is_it) {
  const std::string self = std::to_string(::getpid());
  std::error_code failed;
  for (const auto& process : fs::directory_iterator("/proc", failed)) {
    const std::string number = process.path().filename();
    if (number == self || number.find_first_not_of("0123456789") != std::string::npos) continue;
    std::error_code hidden;
    for (const auto& descriptor : fs::directory_iterator(process.path() / "fd", hidden)) {
      if (is_it(descriptor.path())) return process_text(number);
    }
  }
  return {};
}

/// "0100007F:13A1" as /proc/net/tcp writes 127.0.0.1:5025; empty for what is no numeric address.
std::string kernel_address(const std::string& target) {
  const std::size_t colon = target.rfind(':');
  if (colon == std::string::npos) return {};
  std::string host = target.substr(0, colon);
  if (host == "localhost") host = "127.0.0.1";
  if (host.size() > 2 && host.front() == '[' && host.back() == ']') host = host.substr(1, host.size() - 2);
  unsigned port = 0;
  std::from_chars(target.data() + colon + 1, target.data() + target.size(), port);
  std::array<std::uint32_t, 4> words{};
  std::size_t count = 0;
  if (::inet_pton(AF_INET, host.c_str(), words.data()) == 1) count = 1;
  if (count == 0 && ::inet_pton(AF_INET6, host.c_str(), words.data()) == 1) count = 4;
  std::string text;
  for (std::size_t i = 0; i < count; ++i) text += fmt::format("{:08X}", words.at(i));
  return text.empty() ? text : text + fmt::format(":{:04X}", port);
}

/// The socket's number of an established connection to `remote`, or empty.
std::string connection_to(const std::string& remote) {
  for (const char* table : {"/proc/net/tcp", "/proc/net/tcp6"}) {
    std::ifstream file(table);
    for (std::string line; std::getline(file, line);) {
      const auto words = columns(line);
      constexpr const char* established = "01";
      if (words.size() > 9 && words[2] == remote && words[3] == established) return words[9];
    }
  }
  return {};
}

}  // namespace

std::string serial_owner(const std::string& device) {
  struct stat wanted {};
  if (::stat(device.c_str(), &wanted) != 0) return {};
  if (std::string owner = lock_owner(wanted); !owner.empty()) return owner;
  const auto has_it_open = [&wanted](const fs::path& descriptor) {
    struct stat found {};
    return ::stat(descriptor.c_str(), &found) == 0 && S_ISCHR(found.st_mode) &&
           found.st_rdev == wanted.st_rdev && found.st_ino == wanted.st_ino;
  };
  const auto has_it_locked = [&has_it_open](const fs::path& descriptor) {
    if (!has_it_open(descriptor)) return false;
    std::ifstream info(descriptor.parent_path().parent_path() / "fdinfo" / descriptor.filename());
    const std::string text((std::istreambuf_iterator<char>(info)), std::istreambuf_iterator<char>());
    return text.find("FLOCK") != std::string::npos;
  };
  std::string owner = descriptor_owner(has_it_locked);
  return owner.empty() ? descriptor_owner(has_it_open) : owner;
}

Result<void> check_unconnected(const LinkAddress& address) {
  if (address.kind != LinkAddress::Kind::tcp) return {};
  const std::string remote = kernel_address(address.target);
  const std::string socket = remote.empty() ? std::string() : connection_to(remote);
  if (socket.empty()) return {};
  const std::string link = "socket:[" + socket + "]";
  const std::string owner = descriptor_owner([&link](const fs::path& descriptor) {
    std::error_code gone;
    return fs::read_symlink(descriptor, gone).native() == link;
  });
  return fail(Errc::busy,
              "a program of this machine is connected to it already" + (owner.empty() ? "" : ": " + owner),
              address.text(), "stop it first: an instrument serves one of them");
}

Error with_owner(Error error, const LinkAddress& address) {
  const bool is_device =
      address.kind == LinkAddress::Kind::serial || address.kind == LinkAddress::Kind::usbtmc;
  if (error.code != Errc::busy || !is_device) return error;
  const std::string owner = serial_owner(address.target);
  if (owner.empty()) return error;
  error.what.append(": ").append(owner);
  error.mend = "stop it first: a line has one owner";
  return error;
}

}  // namespace leadwright
