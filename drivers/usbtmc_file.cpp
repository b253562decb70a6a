// SPDX-License-Identifier: Apache-2.0
#include "drivers/usbtmc_file.h"

#include <fcntl.h>
#include <linux/usb/tmc.h>
#include <sys/file.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <cerrno>
#include <cmath>
#include <system_error>

namespace leadwright {

namespace {

// USBTMC specification 1.0, table 9: bit 0 of bmTransferAttributes is EOM (from memory).
constexpr std::uint8_t end_of_message = 1;

std::string reason(int error) {
  return std::generic_category().message(error);
}

/// Unplugged: before ENODEV, which host controller reports what differs (Linux, Documentation/driver-api/usb/
/// error-codes.rst, footnote 2).
bool is_unplugged(int error) {
  return error == ENODEV || error == ESHUTDOWN || error == EPROTO || error == EILSEQ || error == ETIME;
}

Error open_error(int error, const std::string& name, const std::string& path) {
  if (error == ENOENT || error == ENODEV || error == ENXIO) {
    return {Errc::not_found, "no such device", name,
            "plug the instrument in and switch it on; see ls -l /dev/instrument /dev/usbtmc*"};
  }
  if (error == EBUSY || error == EWOULDBLOCK) {
    return {Errc::busy, "this device is open in another program", name,
            "find its owner with: fuser -v " + path + " (a second daemon, or a program that uses libusb)"};
  }
  if (error == EACCES || error == EPERM) {
    return {Errc::io, "no permission to open this device", name,
            "let a udev rule give it to a group, and add the user to that group"};
  }
  return {Errc::io, reason(error), name, "check the device"};
}

}  // namespace

Result<void> UsbtmcFile::open(Second timeout) {
  close();
  // The driver knows no O_NONBLOCK; the flag keeps a path that leads to something else from blocking.
  descriptor_ = ::open(path_.c_str(), O_RDWR | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);
  if (descriptor_ < 0) return tl::unexpected(open_error(errno, name_, path_));
  Result<void> ready = prepare(timeout);
  if (!ready) close();
  return ready;
}

Result<void> UsbtmcFile::prepare(Second timeout) {
  if (::flock(descriptor_, LOCK_EX | LOCK_NB) != 0) return tl::unexpected(open_error(errno, name_, path_));
  timeout_ms_ = 0;
  Result<void> set = set_timeout(timeout);
  if (!set) return set;
  // The former owner may have died in the middle of a transfer: both pipes may be halted.
  if (::ioctl(descriptor_, USBTMC_IOCTL_CLEAR_IN_HALT) != 0 ||
      ::ioctl(descriptor_, USBTMC_IOCTL_CLEAR_OUT_HALT) != 0) {
    return transfer_error(errno, "the device does not let its pipes be reset");
  }
  return clear();
}

Result<void> UsbtmcFile::set_timeout(Second timeout) {
  const auto ms = static_cast<std::uint32_t>(std::lround(timeout.si() * 1000.0));
  if (ms == timeout_ms_) return {};
  if (::ioctl(descriptor_, USBTMC_IOCTL_SET_TIMEOUT, &ms) != 0) {
    const int error = errno;
    if (is_unplugged(error)) return transfer_error(error, "");
    // The driver answers EINVAL to less than 100 ms; a device of another kind knows no such request.
    if (error == EINVAL) {
      return fail(Errc::bad_input, "a time-out of " + std::to_string(ms) + " ms is refused", name_,
                  "use 100 ms at least; is this a USBTMC device?");
    }
    return fail(Errc::bad_input, "not a USBTMC device", name_, "name a device under /dev/instrument");
  }
  timeout_ms_ = ms;
  return {};
}

Result<void> UsbtmcFile::write(std::string_view message) {
  const ssize_t count = ::write(descriptor_, message.data(), message.size());
  if (count == static_cast<ssize_t>(message.size())) return {};
  const int error = errno;
  failed_outward_ = true;
  if (count < 0) return transfer_error(error, "the device does not take our bytes");
  return fail(Errc::io, "only the head of the message was sent", name_);
}

Result<UsbtmcPiece> UsbtmcFile::read() {
  const ssize_t count = ::read(descriptor_, buffer_.data(), buffer_.size());
  const int error = errno;
  failed_outward_ = false;
  if (count < 0) return transfer_error(error, "no answer in time");
  // So the driver reports a short header, a wrong MsgID or tag, and more bytes than were asked for.
  if (count == 0) return fail(Errc::garbled, "a malformed USBTMC transfer", name_, "check cable and hub");
  std::uint8_t attributes = 0;
  if (::ioctl(descriptor_, USBTMC_IOCTL_MSG_IN_ATTR, &attributes) != 0) {
    return transfer_error(errno, "the kernel does not say whether the answer ended");
  }
  return UsbtmcPiece{std::string(buffer_.data(), static_cast<std::size_t>(count)),
                     (attributes & end_of_message) != 0};
}

Result<std::uint8_t> UsbtmcFile::status_byte() {
  std::uint8_t status = 0;
  if (::ioctl(descriptor_, USBTMC488_IOCTL_READ_STB, &status) != 0) {
    return transfer_error(errno, "no status byte in time");
  }
  return status;
}

void UsbtmcFile::abort() noexcept {
  ::ioctl(descriptor_, failed_outward_ ? USBTMC_IOCTL_ABORT_BULK_OUT : USBTMC_IOCTL_ABORT_BULK_IN);
  if (is_stalled_) {
    ::ioctl(descriptor_, USBTMC_IOCTL_CLEAR_IN_HALT);
    ::ioctl(descriptor_, USBTMC_IOCTL_CLEAR_OUT_HALT);
  }
  is_stalled_ = false;
}

Result<void> UsbtmcFile::clear() {
  if (::ioctl(descriptor_, USBTMC_IOCTL_CLEAR) == 0) return {};
  return transfer_error(errno, "the device does not answer its clear");
}

tl::unexpected<Error> UsbtmcFile::transfer_error(int error, const char* what) {
  if (is_unplugged(error)) return fail(Errc::link_lost, "the device is gone", name_, "check cable and power");
  if (error == ETIMEDOUT) return fail(Errc::timed_out, what, name_);
  if (error == EPIPE) {
    is_stalled_ = true;
    return fail(Errc::garbled, "the device refuses this transfer", name_);
  }
  return fail(Errc::io, reason(error), name_, "check cable and hub");
}

void UsbtmcFile::close() noexcept {
  if (descriptor_ >= 0) ::close(descriptor_);
  descriptor_ = -1;
}

}  // namespace leadwright
