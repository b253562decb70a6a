// SPDX-License-Identifier: Apache-2.0
// What may be sent to an instrument by hand: nothing that could switch an input or output on, or raise a
// setpoint. For: the console (talk.h) and the probe. Pure; any thread. It is a list of what is let through,
// not of what is refused: whatever it does not know is refused. Fuzzed: tests/fuzz/message_guard.cpp.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>

#include "protocol/result.h"

namespace leadwright {

/// A message that may go out.
struct GuardedMessage {
  std::string text;          ///< without its line end
  bool is_question = false;  ///< an answer will come
};

/// Some instruments cut a longer message in two, and read its second half as a message of its own.
constexpr std::size_t guarded_message_max = 200;

/// Lets `line` through if each of its units, split at every `;`, is
/// - a question: a header that ends in `?`, alone or with MIN, MAX, DEF or a channel list (@1,2), and with no
///   word that makes an instrument act (a self-test, a calibration, a trigger, a reset of a trip); or
/// - one of *CLS, *OPC, *WAI, *ESE 0..255, *SRE 0..255 (IEEE 488.2: status registers only);
/// or if the whole line is one of `safe_commands`, the profile's own words for the safe state, which then
/// goes out as the profile writes it. Fails with refused, naming the unit and the reason.
Result<GuardedMessage> guard_message(std::string_view line, std::span<const std::string> safe_commands = {});

/// The weaker rule for the questions of a profile: each unit is a question, with any argument, or on the list
/// above. Fails with refused.
Result<void> check_only_asks(std::string_view message);

}  // namespace leadwright
