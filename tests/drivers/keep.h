// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <stdexcept>
#include <utility>

#include "daemon/clock/virtual_clock.h"

namespace leadwright {

/// Awaits `task` and keeps its result: the root of a test's coroutine.
template <class T>
Task<void> keep(Task<T> task, std::optional<T>& result) {
  result.emplace(co_await task);
}

/// Runs virtual time until the task ends; more than an hour is a hang.
template <class T>
T run_to_end(VirtualClock& clock, Task<T> task) {
  std::optional<T> result;
  const Job job(clock.loop(), keep(std::move(task), result));
  const bool ended = clock.run_until([&job] { return job.done(); }, clock.now() + hours(1.0));
  if (!ended) throw std::runtime_error("the task never ends");
  return std::move(*result);
}

}  // namespace leadwright
