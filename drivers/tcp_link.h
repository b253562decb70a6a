// SPDX-License-Identifier: Apache-2.0
// Raw bytes over TCP (SCPI-RAW). Owned by an instrument. Thread: control. Numeric addresses and "localhost"
// only: a name server must never hold up the control thread.
#pragma once

#include <string>

#include "drivers/fd_stream.h"
#include "drivers/link.h"

namespace leadwright {

class TcpLink final : public Link {
 public:
  TcpLink(AsioLoop& loop, Clock& machine, const LinkAddress& address);
  ~TcpLink() override = default;

  const std::string& name() const override { return name_; }
  /// Connects; fails with timed_out at the deadline, not_found if nothing listens there.
  Task<Result<void>> open(Instant deadline) override;
  bool is_open() const override { return stream_.is_open(); }
  Task<Result<void>> write(std::string_view bytes, Instant deadline) override;
  Task<Result<std::size_t>> read(std::span<char> into, Instant deadline) override;
  void discard_input() override { stream_.discard_input(); }
  bool urgent(std::string_view bytes) noexcept override { return stream_.urgent(bytes); }
  void close() noexcept override { stream_.close(); }

 private:
  std::string name_;
  std::string target_;
  Clock& machine_;
  FdStream stream_;
};

}  // namespace leadwright
