// SPDX-License-Identifier: Apache-2.0
// Tells a thread of the benchmark to end, also while it pauses.
#pragma once

#include <chrono>
#include <condition_variable>
#include <mutex>

#include "daemon/clock/instant.h"

namespace leadwright {

class Ending {
 public:
  void end() {
    const std::lock_guard lock(mutex_);
    is_ending_ = true;
    told_.notify_all();
  }
  /// Waits that long, or until the end; false at the end.
  bool pause(Second time) {
    std::unique_lock lock(mutex_);
    return !told_.wait_for(lock, std::chrono::duration<double>(time.si()), [this] { return is_ending_; });
  }

 private:
  std::mutex mutex_;
  std::condition_variable told_;
  bool is_ending_ = false;
};

}  // namespace leadwright
