// SPDX-License-Identifier: Apache-2.0
// The lines of the simulated bench on this machine: pseudo-terminals and TCP ports. For the program benchsim.
// Thread: that of the io_context.
#pragma once

#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <filesystem>

#include "protocol/result.h"
#include "tools/benchsim/sim_line.h"
#include "tools/benchsim/wire.h"

namespace leadwright {

/// A pseudo-terminal in raw mode under a stable name. The instrument's side is kept open here as well, so
/// that the line outlives every daemon: without it, the last close would hang the line up. Pulling the cable
/// hangs it up and takes the name away.
class PtyLine final : private Cable::User {
 public:
  PtyLine(boost::asio::io_context& context, Clock& machine, SimLine& line, Second byte_time)
      : cable_(line.cable()), wire_(context, machine, line, byte_time) {
    cable_->add(*this);
  }
  PtyLine(const PtyLine&) = delete;
  PtyLine& operator=(const PtyLine&) = delete;
  ~PtyLine() override;

  /// `link` becomes a symbolic link to the terminal.
  Result<void> open(const std::filesystem::path& link);

 private:
  void pulled() override;
  void put_back() override;
  void taken(bool by_another) override;
  Result<void> make_raw(int master);

  std::shared_ptr<Cable> cable_;
  Wire wire_;
  int kept_open_ = -1;
  std::filesystem::path link_;
};

/// A TCP port of 127.0.0.1 that serves one client at a time, as many instruments do. Pulling the cable closes
/// it.
class TcpLine final : private Cable::User {
 public:
  TcpLine(boost::asio::io_context& context, Clock& machine, SimLine& line)
      : line_(line), cable_(line.cable()), acceptor_(context), wire_(context, machine, line, Second(0.0)) {
    cable_->add(*this);
  }
  TcpLine(const TcpLine&) = delete;
  TcpLine& operator=(const TcpLine&) = delete;
  ~TcpLine() override { cable_->remove(*this); }

  /// 0: any free port.
  Result<void> open(int port);
  int port() const { return port_; }

 private:
  void pulled() override;
  void put_back() override;
  void accept();

  SimLine& line_;
  std::shared_ptr<Cable> cable_;
  boost::asio::ip::tcp::acceptor acceptor_;
  Wire wire_;
  int port_ = 0;
};

}  // namespace leadwright
