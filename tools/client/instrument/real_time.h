// SPDX-License-Identifier: Apache-2.0
// Real links on the machine's clock, for one command that waits for one thing after the other. One thread.
#pragma once

#include <memory>
#include <optional>

#include "daemon/clock/clock.h"
#include "drivers/link.h"

namespace leadwright {

class RealTime {
 public:
  RealTime();
  ~RealTime();
  RealTime(const RealTime&) = delete;
  RealTime& operator=(const RealTime&) = delete;

  Clock& machine();
  LinkFactory& links();

  /// Runs `task` to its end. Nothing, and the task is destroyed where it stands, if the descriptor
  /// `interrupt`
  /// (-1: none) becomes readable first. What the task throws goes on to the caller.
  template <class T>
  std::optional<T> run(Task<T> task, int interrupt = -1) {
    std::optional<T> result;
    run_root(keep(std::move(task), result), interrupt);
    return result;
  }

 private:
  template <class T>
  static Task<void> keep(Task<T> task, std::optional<T>& result) {
    result.emplace(co_await task);
  }
  void run_root(Task<void> task, int interrupt);
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace leadwright
