// SPDX-License-Identifier: Apache-2.0
// The thread that makes the blocking calls of one USBTMC link: requests go in by a queue, replies come out by
// Loop::post, urgent bytes pass the queue. Owned by a UsbtmcLink. Thread: control for every call; the thread
// itself owns the descriptor and alone closes it. Never: enters Asio, or makes control wait.
// Read next: usbtmc_file.h (the calls), usbtmc_link.h (who asks).
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "daemon/clock/clock.h"
#include "drivers/helper_threads.h"
#include "protocol/result.h"

namespace leadwright {

struct UsbtmcRequest {
  enum class Kind { open, write, read, clear, status } kind = Kind::open;
  std::uint64_t number = 0;  ///< rises with each request, so that a late reply is never taken for another's
  std::string message;       ///< to write: one complete program message
  Second timeout;            ///< of each transfer
};

struct UsbtmcReply {
  UsbtmcRequest::Kind kind = UsbtmcRequest::Kind::open;
  std::uint64_t number = 0;  ///< of the request; 0: the device was lost while nothing was asked
  std::optional<Error> error;
  /// The device is closed now; it was the one that request number `opening` opened.
  bool is_lost = false;
  std::uint64_t opening = 0;
  std::string bytes;  ///< what was read, or written
  bool ends_message = false;
  std::uint8_t status = 0;
};

class UsbtmcHelper {
 public:
  using Hear = std::function<void(UsbtmcReply&)>;

  /// `hear` is called on the loop's thread, never after destruction.
  UsbtmcHelper(Loop& loop, std::shared_ptr<HelperThreads> threads, std::string path, std::string name,
               Hear hear);
  UsbtmcHelper(const UsbtmcHelper&) = delete;
  UsbtmcHelper& operator=(const UsbtmcHelper&) = delete;
  /// Does not wait: the thread sends urgent bytes that wait, closes the device and ends by itself, at the
  /// latest when its blocking call does. HelperThreads joins it.
  ~UsbtmcHelper();

  /// Starts the thread unless it runs. Fails with io.
  Result<void> start();
  /// Queues a request. Fails with busy if `queue_max` wait.
  Result<void> ask(UsbtmcRequest request);
  /// Nobody waits for this reply any more. If the request is being served, or was a question whose answer is
  /// now left in the device, the device is made to forget it before anything else is sent.
  void withdraw(std::uint64_t number) noexcept;
  /// Closes the device as soon as the thread can; forgets every request.
  void close() noexcept;

  /// Hands bytes over, each line a message of its own, ahead of every request; messages queued before and not
  /// begun will not be sent. If the device must be cleared afterwards they are sent again, since a clear
  /// makes a device forget what it has not executed yet.
  enum class Urgent {
    refused,  ///< no room: not taken
    late,     ///< taken, but the device is being cleared, which has no useful bound
    sure,     ///< taken; goes out when the transfer under way ends
  };
  Urgent urgent(std::string_view bytes) noexcept;

  static constexpr std::size_t urgent_max = 1024;
  static constexpr std::size_t queue_max = 16;

 private:
  class Worker;
  std::shared_ptr<HelperThreads> threads_;
  std::shared_ptr<Hear> hear_;
  std::shared_ptr<Worker> worker_;
  bool is_started_ = false;
};

}  // namespace leadwright
