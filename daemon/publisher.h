// SPDX-License-Identifier: Apache-2.0
// Shows the bench to the pages twice a second. For: main. Thread: control, between its other work.
#pragma once

#include <functional>
#include <string>

#include "daemon/clock/clock.h"
#include "daemon/queue/bench.h"

namespace leadwright {

class Publisher {
 public:
  /// Gives the first snapshot to `show` at once. All of these outlive it.
  Publisher(Clock& machine, Bench& bench, std::function<void(std::string)> show);
  Publisher(const Publisher&) = delete;
  Publisher& operator=(const Publisher&) = delete;

 private:
  Task<void> publish();

  Clock& machine_;
  Bench& bench_;
  std::function<void(std::string)> show_;
  Job job_;
};

}  // namespace leadwright
