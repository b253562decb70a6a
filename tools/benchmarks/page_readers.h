// SPDX-License-Identifier: Apache-2.0
// Pages that are open somewhere: connections to the event stream that read whatever comes, on a thread of
// their own.
#pragma once

#include <atomic>
#include <cstdint>
#include <thread>
#include <vector>

namespace leadwright {

class PageReaders {
 public:
  /// Connected when this returns. Ends the program where that fails.
  PageReaders(std::uint16_t port, int count);
  PageReaders(const PageReaders&) = delete;
  PageReaders& operator=(const PageReaders&) = delete;
  ~PageReaders();

  std::uint64_t bytes_read() const { return bytes_read_; }

 private:
  void read_all();

  std::vector<int> sockets_;
  int wake_;
  std::atomic<std::uint64_t> bytes_read_{0};
  std::thread thread_;
};

}  // namespace leadwright
