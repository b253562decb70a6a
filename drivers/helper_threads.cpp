// SPDX-License-Identifier: Apache-2.0
#include "drivers/helper_threads.h"

#include <pthread.h>

#include <chrono>
#include <csignal>
#include <system_error>
#include <utility>

namespace leadwright {

HelperThreads::~HelperThreads() {
  for (Helper& helper : helpers_) helper.thread.join();
}

Result<void> HelperThreads::run(const char* name, std::function<void()> work) {
  std::erase_if(helpers_, [](Helper& helper) {
    const bool is_done = helper.is_done->load();
    if (is_done) helper.thread.join();
    return is_done;
  });
  auto is_done = std::make_shared<std::atomic<bool>>(false);
  auto run_and_say = [work = std::move(work), is_done]() mutable {
    work();
    work = nullptr;
    is_done->store(true);
  };
  // Signals stay with main: they are blocked before the thread begins, since it inherits that.
  sigset_t all;
  sigset_t before;
  sigfillset(&all);
  pthread_sigmask(SIG_SETMASK, &all, &before);
  Result<void> outcome;
  try {
    helpers_.reserve(helpers_.size() + 1);
    helpers_.push_back({std::thread(std::move(run_and_say)), is_done});
    pthread_setname_np(helpers_.back().thread.native_handle(), name);
  } catch (const std::system_error& error) {
    outcome = fail(Errc::io, std::string("no thread: ").append(error.what()), name);
  }
  pthread_sigmask(SIG_SETMASK, &before, nullptr);
  return outcome;
}

void HelperThreads::urgent_begins() noexcept {
  const std::lock_guard lock(mutex_);
  ++urgent_waiting_;
}

void HelperThreads::urgent_ends() noexcept {
  const std::lock_guard lock(mutex_);
  if (--urgent_waiting_ == 0) urgent_ended_.notify_all();
}

bool HelperThreads::wait_for_urgent(Second at_most) noexcept {
  std::unique_lock lock(mutex_);
  const std::chrono::duration<double> longest(at_most.si());
  return urgent_ended_.wait_for(lock, longest, [this] { return urgent_waiting_ == 0; });
}

}  // namespace leadwright
