// SPDX-License-Identifier: Apache-2.0
// Connections that never finish what they ask for: each sends a byte of a header a second and comes back when
// it is closed. On a thread of their own.
#pragma once

#include <atomic>
#include <cstdint>
#include <thread>

#include "tools/benchmarks/ending.h"

namespace leadwright {

class SlowClients {
 public:
  SlowClients(std::uint16_t port, int count);
  SlowClients(const SlowClients&) = delete;
  SlowClients& operator=(const SlowClients&) = delete;
  ~SlowClients();

  /// How often one was closed by the server and came back.
  std::uint64_t closed() const { return closed_; }

 private:
  void dawdle(std::uint16_t port, int count);

  Ending ending_;
  std::atomic<std::uint64_t> closed_{0};
  std::thread thread_;
};

}  // namespace leadwright
