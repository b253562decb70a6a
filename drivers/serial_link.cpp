// SPDX-License-Identifier: Apache-2.0
#include "drivers/serial_link.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <sys/sysmacros.h>
#include <termios.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <system_error>
#include <utility>

namespace leadwright {

namespace {

// linux/major.h: UNIX98_PTY_SLAVE_MAJOR and the seven majors after it.
constexpr unsigned pty_major_first = 136;
constexpr unsigned pty_major_last = 143;

std::string reason(int error) {
  return std::generic_category().message(error);
}

std::optional<speed_t> speed_of(int baud) {
  constexpr std::array<std::pair<int, speed_t>, 9> speeds{{{1200, B1200},
                                                           {2400, B2400},
                                                           {4800, B4800},
                                                           {9600, B9600},
                                                           {19200, B19200},
                                                           {38400, B38400},
                                                           {57600, B57600},
                                                           {115200, B115200},
                                                           {230400, B230400}}};
  for (const auto& [known, speed] : speeds) {
    if (known == baud) return speed;
  }
  return std::nullopt;
}

bool is_pseudo_terminal(int descriptor) {
  struct stat status {};
  if (::fstat(descriptor, &status) != 0) return false;
  const unsigned number = major(status.st_rdev);
  return number >= pty_major_first && number <= pty_major_last;
}

Error open_error(int error, const std::string& name, const std::string& path) {
  if (error == ENOENT || error == ENODEV || error == ENXIO) {
    return {Errc::not_found, "no such device", name, "plug the instrument in; see ls /dev/serial/by-id"};
  }
  if (error == EBUSY || error == EWOULDBLOCK) {
    return {Errc::busy, "this port is open in another program", name,
            "find its owner with: fuser -v " + path +
                " (a second daemon, a terminal program, ModemManager or brltty)"};
  }
  if (error == EACCES || error == EPERM) {
    return {Errc::io, "no permission to open this port", name, "add the user to the group dialout"};
  }
  if (error == ENOTTY) {
    return {Errc::bad_input, "not a serial device", name, "name a device under /dev/serial/by-id"};
  }
  return {Errc::io, reason(error), name, "check the device"};
}

void fill(termios& line, const SerialSettings& settings, speed_t speed, bool is_pty) {
  ::cfmakeraw(&line);
  line.c_cflag |= CREAD | CLOCAL;
  line.c_cflag &= ~static_cast<tcflag_t>(HUPCL | CRTSCTS | CSTOPB | PARENB | PARODD | CSIZE);
  line.c_iflag &= ~static_cast<tcflag_t>(IXON | IXOFF | IXANY | INPCK | IGNPAR);
  line.c_cflag |= settings.bits == 7 ? CS7 : CS8;
  if (settings.stop == 2) line.c_cflag |= CSTOPB;
  // A pty keeps neither parity nor 7 bits, and fails an unchanged second call that asks for them.
  if (settings.parity != SerialSettings::Parity::none && !is_pty) {
    line.c_cflag |= PARENB;
    if (settings.parity == SerialSettings::Parity::odd) line.c_cflag |= PARODD;
    line.c_iflag |= INPCK;
  }
  if (is_pty) line.c_cflag = (line.c_cflag & ~static_cast<tcflag_t>(CSIZE)) | CS8;
  line.c_cc[VMIN] = 1;
  line.c_cc[VTIME] = 0;
  ::cfsetspeed(&line, speed);
}

/// One tcsetattr, and a look at what was kept: it reports success if it could set anything at all.
Result<void> configure(int descriptor, const SerialSettings& settings, const std::string& name) {
  const auto speed = speed_of(settings.baud);
  if (!speed) return fail(Errc::bad_input, "unknown baud rate", name, "use 1200, 2400, ... 115200 or 230400");
  termios line{};
  if (::tcgetattr(descriptor, &line) != 0) return tl::unexpected(open_error(errno, name, name));
  fill(line, settings, *speed, is_pseudo_terminal(descriptor));
  if (::tcsetattr(descriptor, TCSANOW, &line) != 0) return fail(Errc::io, reason(errno), name);
  termios kept{};
  if (::tcgetattr(descriptor, &kept) != 0) return fail(Errc::io, reason(errno), name);
  const bool is_kept = kept.c_cflag == line.c_cflag && kept.c_iflag == line.c_iflag &&
                       kept.c_lflag == line.c_lflag && kept.c_oflag == line.c_oflag;
  if (!is_kept) {
    return fail(Errc::unsupported, "the port does not keep these serial settings", name,
                "check baud, bits, parity and stop in the profile");
  }
  ::tcflush(descriptor, TCIOFLUSH);
  return {};
}

}  // namespace

SerialLink::SerialLink(AsioLoop& loop, Clock& machine, const LinkAddress& address,
                       const SerialSettings& settings)
    : name_(address.text()),
      path_(address.target),
      machine_(machine),
      settings_(settings),
      stream_(loop, machine, name_, [this](bool outward, std::string_view bytes) {
        if (tap) tap(name_, outward, bytes, machine_.now());
      }) {}

SerialLink::~SerialLink() {
  close();
}

Task<Result<void>> SerialLink::open(Instant) {
  if (is_open()) co_return fail(Errc::busy, "already open", name_);
  const int descriptor = ::open(path_.c_str(), O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC);
  if (descriptor < 0) co_return tl::unexpected(open_error(errno, name_, path_));
  if (::flock(descriptor, LOCK_EX | LOCK_NB) != 0) {
    Error error = open_error(errno, name_, path_);
    ::close(descriptor);
    co_return tl::unexpected(std::move(error));
  }
  // On a pty the flag would outlive an owner that was killed. Root is stopped by flock alone.
  if (!is_pseudo_terminal(descriptor)) ::ioctl(descriptor, TIOCEXCL);
  Result<void> configured = configure(descriptor, settings_, name_);
  if (!configured) {
    ::ioctl(descriptor, TIOCNXCL);
    ::close(descriptor);
    co_return configured;
  }
  co_return stream_.adopt(descriptor);
}

Task<Result<void>> SerialLink::write(std::string_view bytes, Instant deadline) {
  return stream_.write(bytes, deadline);
}

Task<Result<std::size_t>> SerialLink::read(std::span<char> into, Instant deadline) {
  return stream_.read(into, deadline);
}

void SerialLink::close() noexcept {
  if (stream_.is_open()) ::ioctl(stream_.descriptor(), TIOCNXCL);
  stream_.close();
}

}  // namespace leadwright
