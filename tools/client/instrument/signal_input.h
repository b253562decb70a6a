// SPDX-License-Identifier: Apache-2.0
// Lines from a descriptor until it ends or the program is told to end. For: the console, which must send the
// words for the safe state before it goes. Blocks; one thread.
#pragma once

#include <cstddef>
#include <optional>
#include <string>

namespace leadwright {

class SignalInput {
 public:
  /// From here to the end of the program SIGINT, SIGTERM and SIGHUP wait to be seen, and a reader that is
  /// gone is an error of the write (SIGPIPE is ignored). Reads `descriptor`, which stays the caller's.
  explicit SignalInput(int descriptor);
  SignalInput(const SignalInput&) = delete;
  SignalInput& operator=(const SignalInput&) = delete;
  ~SignalInput();

  /// The next line without its end; nothing at the end of the input or once a signal came. A line longer than
  /// `line_max` comes in pieces.
  std::optional<std::string> next();
  /// Readable once a signal came.
  int signals() const { return signals_; }
  bool was_told_to_end() const;

  static constexpr std::size_t line_max = 4096;

 private:
  bool await_input();

  int descriptor_;
  int signals_ = -1;
  std::string unread_;
  bool has_ended_ = false;
};

}  // namespace leadwright
