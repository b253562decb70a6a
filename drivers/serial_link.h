// SPDX-License-Identifier: Apache-2.0
// A serial line, opened raw and exclusively. Owned by an instrument. Thread: control. Never blocks on a line
// that hangs: everything is non-blocking. A hang-up (unplugged adapter) closes it at once.
#pragma once

#include <string>

#include "drivers/fd_stream.h"
#include "drivers/link.h"

namespace leadwright {

class SerialLink final : public Link {
 public:
  SerialLink(AsioLoop& loop, Clock& machine, const LinkAddress& address, const SerialSettings& settings);
  ~SerialLink() override;

  const std::string& name() const override { return name_; }
  Task<Result<void>> open(Instant deadline) override;
  bool is_open() const override { return stream_.is_open(); }
  Second boot_time() const override { return settings_.boot; }
  Task<Result<void>> write(std::string_view bytes, Instant deadline) override;
  Task<Result<std::size_t>> read(std::span<char> into, Instant deadline) override;
  void discard_input() override { stream_.discard_input(); }
  bool urgent(std::string_view bytes) noexcept override { return stream_.urgent(bytes); }
  void close() noexcept override;

 private:
  std::string name_;
  std::string path_;
  Clock& machine_;
  SerialSettings settings_;
  FdStream stream_;
};

}  // namespace leadwright
