// SPDX-License-Identifier: Apache-2.0
// Calls somebody when the bench has an alarm: at its begin, again and again until a person acknowledges it,
// and somebody else if nobody does. Owned by the bench. Thread: control. Machine time: people do not live on
// bench time. Never: waits for what it calls.
#pragma once

#include <functional>
#include <map>
#include <string>

#include "daemon/clock/clock.h"
#include "daemon/settings/precautions.h"
#include "protocol/result.h"

namespace leadwright {

struct AlarmCall {
  enum class Kind { begun, repeated, escalated, test };
  Kind kind = Kind::begun;
  std::string place;  ///< or the bench's name
  std::string what;   ///< one sentence
};
const char* word(AlarmCall::Kind kind);

class AlarmCalls {
 public:
  AlarmCalls(Clock& machine, AlarmSettings settings) : machine_(machine), settings_(std::move(settings)) {}

  /// Carries a call out, without blocking: a command in the daemon, a note in a test. Unset: nobody is
  /// called.
  std::function<void(const AlarmCall&)> hook;

  /// What a place has to say now; empty when it was acknowledged or never was. Another sentence of an alarm
  /// that goes on is the same alarm.
  void follow(const std::string& place, const std::string& what);
  /// One call, so that a person sees whether it arrives. Fails with conflict if nobody would be called.
  Result<void> test(const std::string& place, const std::string& actor);

 private:
  struct Open {
    explicit Open(Clock& machine) : again(machine) {}
    std::string what;
    int calls = 1;
    Timer again;
  };
  void call_again(const std::string& place);
  void arm(const std::string& place, Open& open);

  Clock& machine_;
  AlarmSettings settings_;
  std::map<std::string, Open> open_;
};

}  // namespace leadwright
