// SPDX-License-Identifier: Apache-2.0
// Messages and answers in text on a bare link, before any profile is known to fit. For: the probe and the
// console. Thread: that of the link. Never: retries, and never decides what an answer means.
#pragma once

#include <string>
#include <string_view>

#include "drivers/link.h"

namespace leadwright {

struct LineAnswer {
  std::string bytes;        ///< as they came, line ends too
  Second took;              ///< machine time from the message to the last of them
  bool is_complete = true;  ///< false: no line end came in time, or it does not end
};

/// Discards what arrives until nothing came for 50 ms. Fails with garbled if that takes longer than a second:
/// somebody talks without being asked; or with link_lost.
Task<Result<void>> await_quiet(Link& link, Clock& machine);

/// One message, to which a line end is added.
Task<Result<void>> tell_line(Link& link, Clock& machine, std::string message);

/// One message and its line of answer, with what follows it at once. Fails with timed_out if not one byte
/// comes in `patience`, or with link_lost.
Task<Result<LineAnswer>> ask_line(Link& link, Clock& machine, std::string message, Second patience);

/// An answer that does not end is cut here.
constexpr std::size_t line_answer_max = 65536;

}  // namespace leadwright
