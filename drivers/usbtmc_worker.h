// SPDX-License-Identifier: Apache-2.0
// What control and the thread of a UsbtmcHelper share, and what the thread does with it. Kept alive by both,
// so that either may end first. Thread: see the two halves. Never: holds its lock during a blocking call.
#pragma once

#include <array>
#include <condition_variable>
#include <deque>
#include <memory>
#include <mutex>
#include <string>
#include <string_view>

#include "drivers/usbtmc_file.h"
#include "drivers/usbtmc_helper.h"

namespace leadwright {

class UsbtmcHelper::Worker {
 public:
  Worker(Loop& loop, HelperThreads& threads, std::string path, std::string name, std::weak_ptr<Hear> hear)
      : loop_(&loop),
        hear_(std::move(hear)),
        threads_(threads),
        name_(std::move(name)),
        file_(std::move(path), name_) {}

  // For control: see UsbtmcHelper.
  Result<void> ask(UsbtmcRequest request);
  void withdraw(std::uint64_t number) noexcept;
  void close() noexcept;
  Urgent urgent(std::string_view bytes) noexcept;
  /// Ends the thread; nothing is heard of it from now on.
  void end() noexcept;

  /// The thread, until end().
  void run();

 private:
  using Kind = UsbtmcRequest::Kind;
  using Lock = std::unique_lock<std::mutex>;
  struct Queued {
    UsbtmcRequest request;
    bool is_overtaken = false;
  };
  bool has_work() const;
  void serve(Lock& lock);
  void perform(UsbtmcRequest& request, UsbtmcReply& reply);
  void finish(UsbtmcReply& reply, bool was_open);
  void send_urgent(Lock& lock);
  void remember_urgent(std::string_view bytes);
  Result<void> clear_device(Lock& lock);
  Result<void> write_lines(std::string_view bytes);
  void tell_lost(const Error& error);
  void post(UsbtmcReply reply);

  // Under the mutex.
  std::mutex mutex_;
  std::condition_variable work_;
  Loop* loop_;
  std::deque<Queued> queue_;
  std::uint64_t busy_with_ = 0;
  std::uint64_t left_open_ = 0;  ///< the last request, if its message was sent and its answer not read
  bool is_unwanted_ = false;     ///< nobody waits for the request being served
  bool must_clear_ = false;
  bool is_clearing_ = false;
  bool close_wanted_ = false;
  bool is_ended_ = false;
  std::array<char, urgent_max> urgent_{};
  std::size_t urgent_size_ = 0;

  // The thread's own, or constant.
  std::weak_ptr<Hear> hear_;
  HelperThreads& threads_;
  std::string name_;
  UsbtmcFile file_;
  std::uint64_t opening_ = 0;
  /// Urgent messages that no later answer has shown to be executed: a message was written after them, and its
  /// answer came.
  enum class Doubt { none, sent, followed } doubt_ = Doubt::none;
  std::string doubted_;
};

}  // namespace leadwright
