// SPDX-License-Identifier: Apache-2.0
#include "daemon/certificate/key_file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <string_view>
#include <system_error>

namespace leadwright {
namespace {

constexpr std::string_view key_prefix = "leadwright-signing-key-1 ";
constexpr const char* lost_key = "restore it from a copy; without it a new key makes earlier ones foreign";

std::string errno_words() {
  return std::generic_category().message(errno);
}

/// A descriptor that is closed in the end.
class KeyDescriptor {
 public:
  explicit KeyDescriptor(int number) : number_(number) {}
  KeyDescriptor(const KeyDescriptor&) = delete;
  KeyDescriptor& operator=(const KeyDescriptor&) = delete;
  ~KeyDescriptor() {
    if (number_ >= 0) ::close(number_);
  }
  int number() const { return number_; }

 private:
  int number_;
};

Result<SigningKey> read_key(const std::string& path) {
  const KeyDescriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
  if (file.number() < 0) {
    return fail(Errc::io, "the signing key can't be read: " + errno_words(), path,
                "run this as the user of the daemon");
  }
  struct stat about {};
  if (::fstat(file.number(), &about) != 0) return fail(Errc::io, errno_words(), path);
  if ((about.st_mode & 077U) != 0) {
    return fail(Errc::refused, "others than its owner may use the signing key", path,
                "chmod 600 it, and ask yourself who may have copied it");
  }
  std::array<char, 256> text{};
  const ssize_t size = ::read(file.number(), text.data(), text.size());
  std::string_view line(text.data(), size > 0 ? static_cast<std::size_t>(size) : 0);
  if (line.ends_with('\n')) line.remove_suffix(1);
  SigningKey key;
  if (line.starts_with(key_prefix)) {
    const auto bytes = from_base64(line.substr(key_prefix.size()));
    if (bytes && bytes->size() == key.bytes.size()) {
      std::ranges::copy(*bytes, key.bytes.begin());
      return key;
    }
  }
  return fail(Errc::bad_input, "this is no signing key", path, lost_key);
}

/// Writes beside the place and links it there, so that a key that exists is always whole and never replaced.
Result<void> make_key(const std::string& path) {
  const auto key = new_key();
  if (!key) return tl::unexpected<Error>(key.error());
  const std::string beside = path + "." + std::to_string(::getpid());
  const auto failed = [&] {
    return fail(Errc::io, "the signing key can't be made: " + errno_words(), path,
                "check that the state folder exists and belongs to you");
  };
  const KeyDescriptor file(::open(beside.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600));
  if (file.number() < 0) return failed();
  const std::string_view bytes(reinterpret_cast<const char*>(key->bytes.data()), key->bytes.size());
  const std::string line = std::string(key_prefix).append(base64(bytes)).append("\n");
  const bool written =
      ::write(file.number(), line.data(), line.size()) == static_cast<ssize_t>(line.size()) &&
      ::fsync(file.number()) == 0;
  const bool linked = written && (::link(beside.c_str(), path.c_str()) == 0 || errno == EEXIST);
  const int reason = errno;
  ::unlink(beside.c_str());
  errno = reason;
  if (!linked) return failed();
  return {};
}

}  // namespace

std::string key_path(const std::string& state_folder) {
  return state_folder + "/certificate.key";
}

Result<SigningKey> bench_key(const std::string& state_folder) {
  const std::string path = key_path(state_folder);
  if (::access(path.c_str(), F_OK) != 0) {
    const auto made = make_key(path);
    if (!made) return tl::unexpected<Error>(made.error());
  }
  return read_key(path);
}

}  // namespace leadwright
