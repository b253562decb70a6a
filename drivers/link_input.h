// SPDX-License-Identifier: Apache-2.0
// What arrived on a link and was not read yet. Every link has one; the pump or the simulated device fills it,
// Link::read waits on it.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "daemon/clock/clock.h"
#include "protocol/result.h"

namespace leadwright {

class LinkInput {
 public:
  explicit LinkInput(Clock& machine) : arrived_(machine) {}

  /// Forgets everything and accepts bytes again.
  void open();
  /// Ends every pending read with link_lost.
  void close();
  bool is_open() const { return is_open_; }

  /// Beyond `unread_max` bytes the oldest are dropped: nobody listens to what nobody asked for.
  void append(std::string_view bytes);
  void discard();
  Task<Result<std::size_t>> read(std::span<char> into, Instant deadline, const std::string& where);

  static constexpr std::size_t unread_max = 1U << 18U;

 private:
  std::string bytes_;
  std::size_t taken_ = 0;
  bool is_open_ = false;
  Signal arrived_;
};

}  // namespace leadwright
