// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/real_lines.h"

#include <fcntl.h>
#include <stdlib.h>
#include <sys/file.h>
#include <termios.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <system_error>
#include <utility>

namespace leadwright {

namespace asio = boost::asio;
namespace fs = std::filesystem;

namespace {

tl::unexpected<Error> failed(const std::string& what, const std::string& where) {
  return fail(Errc::io, what + ": " + std::error_code(errno, std::generic_category()).message(), where);
}

}  // namespace

PtyLine::~PtyLine() {
  cable_->remove(*this);
  pulled();
}

Result<void> PtyLine::open(const fs::path& link) {
  link_ = link;
  const int master = ::posix_openpt(O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC);
  if (master < 0) return failed("can't make a pseudo-terminal", link.string());
  wire_.serve(master, {});
  return make_raw(master);
}

Result<void> PtyLine::make_raw(int master) {
  std::array<char, 128> name{};
  if (::grantpt(master) != 0 || ::unlockpt(master) != 0 ||
      ::ptsname_r(master, name.data(), name.size()) != 0) {
    return failed("can't unlock a pseudo-terminal", link_.string());
  }
  kept_open_ = ::open(name.data(), O_RDWR | O_NOCTTY | O_CLOEXEC);
  if (kept_open_ < 0) return failed("can't open a pseudo-terminal", link_.string());
  termios raw{};
  if (::tcgetattr(kept_open_, &raw) != 0) return failed("can't read the line's settings", link_.string());
  ::cfmakeraw(&raw);
  raw.c_cflag |= CREAD | CLOCAL;
  if (::tcsetattr(kept_open_, TCSANOW, &raw) != 0) return failed("can't make the line raw", link_.string());
  std::error_code error;
  fs::remove(link_, error);
  fs::create_symlink(name.data(), link_, error);
  if (error) return fail(Errc::io, "can't name the line: " + error.message(), link_.string());
  return {};
}

void PtyLine::pulled() {
  wire_.close();
  if (kept_open_ >= 0) ::close(std::exchange(kept_open_, -1));
  std::error_code ignored;
  if (!link_.empty()) fs::remove(link_, ignored);
}

void PtyLine::put_back() {
  if (const auto opened = open(link_); !opened) pulled();
}

void PtyLine::taken(bool by_another) {
  if (kept_open_ >= 0) ::flock(kept_open_, by_another ? LOCK_EX | LOCK_NB : LOCK_UN);
}

Result<void> TcpLine::open(int port) {
  boost::system::error_code error;
  acceptor_.open(asio::ip::tcp::v4(), error);
  acceptor_.set_option(asio::socket_base::reuse_address(true), error);
  acceptor_.bind({asio::ip::address_v4::loopback(), static_cast<unsigned short>(port)}, error);
  if (!error) acceptor_.listen(1, error);
  if (error) {
    return fail(Errc::busy, "can't listen: " + error.message(), "127.0.0.1:" + std::to_string(port),
                "take other ports, or let the kernel choose");
  }
  port_ = acceptor_.local_endpoint(error).port();
  accept();
  return {};
}

void TcpLine::accept() {
  acceptor_.async_accept([this](const boost::system::error_code& error, asio::ip::tcp::socket socket) {
    if (error) return;
    boost::system::error_code ignored;
    socket.set_option(asio::ip::tcp::no_delay(true), ignored);
    line_.end().connected();
    wire_.serve(socket.release(), [this] { accept(); });
  });
}

void TcpLine::pulled() {
  wire_.close();
  boost::system::error_code ignored;
  acceptor_.close(ignored);
}

void TcpLine::put_back() {
  if (const auto opened = open(port_); !opened) pulled();
}

}  // namespace leadwright
