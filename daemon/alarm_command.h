// SPDX-License-Identifier: Apache-2.0
// Carries alarm calls out as commands of the configuration, on a thread of its own, so that a slow disk or a
// command that hangs never holds control up. For: main. Thread: call() from control; commands are started and
// waited for on its own. Never: uses a shell, and never gives a command the daemon's environment.
#pragma once

#include <chrono>
#include <condition_variable>
#include <deque>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

#include "daemon/queue/alarm_calls.h"

namespace leadwright {

class AlarmCommand {
 public:
  /// A command that has not ended by then is killed.
  static constexpr Second lasts_max{60.0};
  /// Calls that may wait; a further one is dropped, and said so in the log.
  static constexpr std::size_t waiting_max = 64;

  explicit AlarmCommand(AlarmSettings settings);
  AlarmCommand(const AlarmCommand&) = delete;
  AlarmCommand& operator=(const AlarmCommand&) = delete;
  /// Ends what is running and drops what waits.
  ~AlarmCommand();

  /// The command gets kind, place and sentence as its last three arguments, and the same in
  /// LEADWRIGHT_ALARM, LEADWRIGHT_PLACE and LEADWRIGHT_WHAT beside PATH and LANG. Its output is the daemon's.
  void call(AlarmCall call);
  /// Waits until every call was carried out. For tests.
  void finish();

 private:
  void work();
  void carry_out(const AlarmCall& call);
  bool is_ending_after(std::chrono::milliseconds pause);

  AlarmSettings settings_;
  std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<AlarmCall> waiting_;
  bool is_busy_ = false;
  bool is_ending_ = false;
  std::thread thread_;
};

}  // namespace leadwright
