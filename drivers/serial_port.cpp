// SPDX-License-Identifier: Apache-2.0
#include "drivers/serial_port.h"

#include <fcntl.h>
#include <linux/serial.h>
#include <sys/file.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <sys/sysmacros.h>
#include <termios.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <optional>
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

void fill_flow(termios& line, SerialSettings::Flow flow) {
  constexpr cc_t xon = 0x11;
  constexpr cc_t xoff = 0x13;
  line.c_cflag &= ~static_cast<tcflag_t>(CRTSCTS);
  line.c_iflag &= ~static_cast<tcflag_t>(IXON | IXOFF | IXANY);
  if (flow == SerialSettings::Flow::rts_cts) line.c_cflag |= CRTSCTS;
  if (flow == SerialSettings::Flow::xon_xoff) line.c_iflag |= IXON | IXOFF;
  line.c_cc[VSTART] = xon;
  line.c_cc[VSTOP] = xoff;
}

void fill(termios& line, const SerialSettings& settings, speed_t speed, bool is_pty) {
  ::cfmakeraw(&line);
  line.c_cflag |= CREAD | CLOCAL;
  line.c_cflag &= ~static_cast<tcflag_t>(HUPCL | CSTOPB | PARENB | PARODD | CSIZE);
  line.c_iflag &= ~static_cast<tcflag_t>(INPCK | IGNPAR);
  line.c_cflag |= settings.bits == 7 ? CS7 : CS8;
  if (settings.stop == 2) line.c_cflag |= CSTOPB;
  // A pty keeps neither parity nor 7 bits, and fails an unchanged second call that asks for them.
  if (settings.parity != SerialSettings::Parity::none && !is_pty) {
    line.c_cflag |= PARENB;
    if (settings.parity == SerialSettings::Parity::odd) line.c_cflag |= PARODD;
    line.c_iflag |= INPCK;
  }
  if (is_pty) line.c_cflag = (line.c_cflag & ~static_cast<tcflag_t>(CSIZE)) | CS8;
  fill_flow(line, settings.flow);
  line.c_cc[VMIN] = 1;
  line.c_cc[VTIME] = 0;
  ::cfsetspeed(&line, speed);
}

/// One tcsetattr, and a look at what was kept: it reports success if it could set anything at all.
Result<void> set_line(int descriptor, const SerialSettings& settings, const std::string& name, bool is_pty) {
  const auto speed = speed_of(settings.baud);
  if (!speed) return fail(Errc::bad_input, "unknown baud rate", name, "use 1200, 2400, ... 115200 or 230400");
  termios line{};
  if (::tcgetattr(descriptor, &line) != 0) return tl::unexpected(open_error(errno, name, name));
  fill(line, settings, *speed, is_pty);
  if (::tcsetattr(descriptor, TCSANOW, &line) != 0) return fail(Errc::io, reason(errno), name);
  termios kept{};
  if (::tcgetattr(descriptor, &kept) != 0) return fail(Errc::io, reason(errno), name);
  const bool is_kept = kept.c_cflag == line.c_cflag && kept.c_iflag == line.c_iflag &&
                       kept.c_lflag == line.c_lflag && kept.c_oflag == line.c_oflag;
  if (!is_kept) {
    return fail(Errc::unsupported, "the port does not keep these serial settings", name,
                "check baud, bits, parity, stop and flow in the profile");
  }
  return {};
}

Result<void> set_modem_lines(int descriptor, const SerialSettings& settings, const std::string& name) {
  const ModemLines lines = modem_lines(settings);
  const bool is_raised = lines.raise == 0 || ::ioctl(descriptor, TIOCMBIS, &lines.raise) == 0;
  const bool is_lowered = lines.lower == 0 || ::ioctl(descriptor, TIOCMBIC, &lines.lower) == 0;
  // Opening raises both lines, so that a port without modem lines matters only if one shall be down.
  if (is_lowered && (is_raised || lines.lower == 0)) return {};
  return fail(Errc::unsupported, "this port has no DTR and RTS to set", name,
              "leave dtr and rts out of the profile");
}

Result<void> set_rs485(int descriptor, const std::string& name) {
  serial_rs485 mode{};
  mode.flags = SER_RS485_ENABLED | SER_RS485_RTS_ON_SEND;
  if (::ioctl(descriptor, TIOCSRS485, &mode) == 0) return {};
  if (errno != ENOTTY && errno != EINVAL) return fail(Errc::io, reason(errno), name);
  return fail(Errc::unsupported, "this port does not switch an RS-485 transmitter", name,
              "leave rs485 out of the profile: USB adapters switch by themselves");
}

/// Where the driver can't, bytes come late but come.
void ask_low_latency(int descriptor) {
  serial_struct port{};
  if (::ioctl(descriptor, TIOCGSERIAL, &port) != 0) return;
  port.flags |= static_cast<int>(ASYNC_LOW_LATENCY);
  ::ioctl(descriptor, TIOCSSERIAL, &port);
}

Result<void> configure(int descriptor, const SerialSettings& settings, const std::string& name) {
  const bool is_pty = is_pseudo_terminal(descriptor);
  // On a pty the flag would outlive an owner that was killed. Root is stopped by flock alone.
  if (!is_pty) ::ioctl(descriptor, TIOCEXCL);
  Result<void> done = set_line(descriptor, settings, name, is_pty);
  if (done && !is_pty) done = set_modem_lines(descriptor, settings, name);
  if (done && settings.rs485) done = set_rs485(descriptor, name);
  if (done && settings.low_latency) ask_low_latency(descriptor);
  if (done) ::tcflush(descriptor, TCIOFLUSH);
  return done;
}

}  // namespace

Result<int> open_serial_port(const std::string& path, const SerialSettings& settings,
                             const std::string& name) {
  const int descriptor = ::open(path.c_str(), O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC);
  if (descriptor < 0) return tl::unexpected(open_error(errno, name, path));
  if (::flock(descriptor, LOCK_EX | LOCK_NB) != 0) {
    Error error = open_error(errno, name, path);
    ::close(descriptor);
    return tl::unexpected(std::move(error));
  }
  Result<void> configured = configure(descriptor, settings, name);
  if (configured) return descriptor;
  share_serial_port(descriptor);
  ::close(descriptor);
  return pass(configured);
}

void share_serial_port(int descriptor) noexcept {
  ::ioctl(descriptor, TIOCNXCL);
}

ModemLines modem_lines(const SerialSettings& settings) {
  const bool is_rts_ours = settings.flow != SerialSettings::Flow::rts_cts && !settings.rs485;
  ModemLines lines;
  (settings.dtr ? lines.raise : lines.lower) |= TIOCM_DTR;
  if (is_rts_ours) (settings.rts ? lines.raise : lines.lower) |= TIOCM_RTS;
  return lines;
}

}  // namespace leadwright
