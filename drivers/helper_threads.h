// SPDX-License-Identifier: Apache-2.0
// Threads for calls that block in the kernel, one a link. Owned by the link factory and by each such link.
// Thread: control, but for what says otherwise. Never: tells a thread to end; who started one must.
#pragma once

#include <atomic>
#include <condition_variable>
#include <functional>
#include <memory>
#include <mutex>
#include <thread>
#include <vector>

#include "daemon/quantities/quantity.h"
#include "protocol/result.h"

namespace leadwright {

class HelperThreads {
 public:
  HelperThreads() = default;
  HelperThreads(const HelperThreads&) = delete;
  HelperThreads& operator=(const HelperThreads&) = delete;
  /// Joins every thread: each has been told to end, and is at most in its last blocking call.
  ~HelperThreads();

  /// Runs `work` on a thread of its own, which gets no signals. `work` keeps alive what it needs. Fails with
  /// io if the system has no thread for it.
  Result<void> run(const char* name, std::function<void()> work);

  /// An urgent message begins, and stops, to wait for a helper. Any thread.
  void urgent_begins() noexcept;
  void urgent_ends() noexcept;
  /// Blocks until no urgent message waits any more, or for `at_most`: for a process that is about to die. Any
  /// thread but a helper's own. True if none waits.
  bool wait_for_urgent(Second at_most) noexcept;

 private:
  struct Helper {
    std::thread thread;
    std::shared_ptr<std::atomic<bool>> is_done;
  };
  std::vector<Helper> helpers_;
  std::mutex mutex_;
  std::condition_variable urgent_ended_;
  int urgent_waiting_ = 0;
};

}  // namespace leadwright
