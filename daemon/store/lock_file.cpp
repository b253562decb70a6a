// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/lock_file.h"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <system_error>
#include <utility>

namespace leadwright {

namespace {

std::string owner(int descriptor) {
  std::array<char, 24> text{};
  const ssize_t size = ::pread(descriptor, text.data(), text.size() - 1, 0);
  std::string digits;
  for (ssize_t i = 0; i < size && text[i] >= '0' && text[i] <= '9'; ++i) digits += text[i];
  return digits.empty() ? "" : " (process " + digits + ")";
}

std::string reason(int code) {
  return std::generic_category().message(code);
}

}  // namespace

Result<LockFile> LockFile::take(const std::string& path) {
  const int descriptor = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0644);
  if (descriptor < 0) {
    const int code = errno;
    return fail(Errc::io, "can't make the lock file: " + reason(code), path,
                "check that the folder belongs to the user of the daemon");
  }
  LockFile lock(descriptor);
  if (::flock(descriptor, LOCK_EX | LOCK_NB) != 0) {
    if (errno != EWOULDBLOCK) return fail(Errc::io, "can't lock: " + reason(errno), path);
    return fail(Errc::busy, "another daemon" + owner(descriptor) + " uses this state folder", path,
                "end it first, or name another folder with --state");
  }
  const std::string number = std::to_string(::getpid()) + "\n";
  // The number only helps messages; the lock holds without it.
  if (::ftruncate(descriptor, 0) == 0)
    static_cast<void>(::pwrite(descriptor, number.data(), number.size(), 0) > 0);
  return lock;
}

LockFile::LockFile(LockFile&& other) noexcept : descriptor_(std::exchange(other.descriptor_, -1)) {}

LockFile& LockFile::operator=(LockFile&& other) noexcept {
  std::swap(descriptor_, other.descriptor_);
  return *this;
}

LockFile::~LockFile() {
  if (descriptor_ >= 0) ::close(descriptor_);
}

}  // namespace leadwright
