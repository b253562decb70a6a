// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <utility>

#include "daemon/clock/task.h"

namespace leadwright {

/// Awaits `task` and keeps its result: the root of a test's coroutine.
template <class T>
Task<void> keep(Task<T> task, std::optional<T>& result) {
  result.emplace(co_await task);
}

}  // namespace leadwright
