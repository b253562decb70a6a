// SPDX-License-Identifier: Apache-2.0
// The log: one event a line, as key=value pairs, to stderr with journald's priority prefix. For: everything
// worth telling an operator afterwards; trips go to the store as well, never only here. Thread: any, but for
// start, stop and log_to. Never: delays its caller (the oldest line is dropped and counted instead).
#pragma once

#include <cstdint>
#include <functional>
#include <initializer_list>
#include <string>
#include <string_view>

namespace leadwright {

enum class Level { debug, info, notice, warning, error, critical };

struct LogField {
  std::string_view key;  ///< snake_case, with unit suffix
  std::string value;
};

/// One event: log_event(Level::info, "run.started", {{"run", "R-000001"}}) gives
/// "<6>event=run.started run=R-000001". Values are quoted and escaped where they need it, so that a value
/// never makes a second line or another key. Without a running log it does nothing.
void log_event(Level level, std::string_view event, std::initializer_list<LogField> fields = {});

/// The line of an event without priority prefix and line end.
std::string log_line(std::string_view event, std::initializer_list<LogField> fields);

/// Starts the log's own thread, writing to stderr whatever is at least `level`. Call after any fork.
void start_log(Level level);
/// Writes what is queued and ends the thread.
void stop_log();
/// Gives each line to `sink` instead, on the caller's thread, with no thread of ours (virtual worlds). Empty
/// ends it.
void log_to(std::function<void(Level level, std::string_view line)> sink);
/// Lines dropped since start_log because the queue was full.
std::uint64_t log_drops();

}  // namespace leadwright
