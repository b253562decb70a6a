// SPDX-License-Identifier: Apache-2.0
#include "daemon/settings/log.h"

#include <spdlog/async.h>
#include <spdlog/sinks/stdout_sinks.h>

#include <algorithm>
#include <atomic>
#include <memory>
#include <mutex>

namespace leadwright {

namespace {

constexpr std::size_t queue_lines_max = 8192;

/// One log for the process: whoever writes must not need to be handed it.
struct Log {
  std::mutex mutex;  ///< guards all but `is_on`
  std::shared_ptr<spdlog::details::thread_pool> pool;
  std::shared_ptr<spdlog::async_logger> logger;
  std::function<void(Level, std::string_view)> sink;
  Level level = Level::debug;
  std::atomic<bool> is_on{false};
};

Log& the_log() {
  static Log log;
  return log;
}

/// Priorities of syslog(3), which journald reads from the start of a line.
char priority(Level level) {
  switch (level) {
    case Level::debug:
      return '7';
    case Level::info:
      return '6';
    case Level::notice:
      return '5';
    case Level::warning:
      return '4';
    case Level::error:
      return '3';
    case Level::critical:
      return '2';
  }
  return '2';
}

bool is_plain(std::string_view value) {
  const auto is_special = [](unsigned char c) {
    return c <= 0x20 || c == 0x7f || c == '"' || c == '=' || c == '\\';
  };
  return !value.empty() && std::none_of(value.begin(), value.end(), is_special);
}

void add_escaped(std::string& line, unsigned char c) {
  static constexpr char digits[] = "0123456789abcdef";
  if (c == '"' || c == '\\') {
    line += '\\';
    line += static_cast<char>(c);
  } else if (c == '\n') {
    line += "\\n";
  } else if (c < 0x20 || c == 0x7f) {
    line += "\\x";
    line += digits[c >> 4];
    line += digits[c & 15];
  } else {
    line += static_cast<char>(c);
  }
}

void add_field(std::string& line, std::string_view key, std::string_view value) {
  if (!line.empty()) line += ' ';
  line += key;
  line += '=';
  if (is_plain(value)) {
    line += value;
    return;
  }
  line += '"';
  for (const char c : value) add_escaped(line, static_cast<unsigned char>(c));
  line += '"';
}

}  // namespace

std::string log_line(std::string_view event, std::initializer_list<LogField> fields) {
  std::string line;
  add_field(line, "event", event);
  for (const LogField& field : fields) add_field(line, field.key, field.value);
  return line;
}

void log_event(Level level, std::string_view event, std::initializer_list<LogField> fields) {
  Log& log = the_log();
  if (!log.is_on.load(std::memory_order_acquire)) return;
  std::string line = log_line(event, fields);
  const std::lock_guard guard(log.mutex);
  if (log.sink) {
    log.sink(level, line);
  } else if (log.logger && level >= log.level) {
    line.insert(0, {'<', priority(level), '>'});
    log.logger->log(spdlog::level::critical, line);
  }
}

void start_log(Level level) {
  stop_log();
  Log& log = the_log();
  const std::lock_guard guard(log.mutex);
  log.pool = std::make_shared<spdlog::details::thread_pool>(queue_lines_max, 1);
  auto to_stderr = std::make_shared<spdlog::sinks::stderr_sink_mt>();
  log.logger = std::make_shared<spdlog::async_logger>("leadwright", std::move(to_stderr), log.pool,
                                                      spdlog::async_overflow_policy::overrun_oldest);
  log.logger->set_pattern("%v");
  log.logger->set_level(spdlog::level::trace);
  log.level = level;
  log.is_on.store(true, std::memory_order_release);
}

void stop_log() {
  Log& log = the_log();
  const std::lock_guard guard(log.mutex);
  log.is_on.store(static_cast<bool>(log.sink), std::memory_order_release);
  // First the pool: it writes what it holds and its thread ends, so nobody uses the logger when that goes.
  log.pool.reset();
  log.logger.reset();
}

void log_to(std::function<void(Level level, std::string_view line)> sink) {
  Log& log = the_log();
  const std::lock_guard guard(log.mutex);
  log.sink = std::move(sink);
  log.is_on.store(log.sink || log.logger, std::memory_order_release);
}

std::uint64_t log_drops() {
  Log& log = the_log();
  const std::lock_guard guard(log.mutex);
  return log.pool ? log.pool->overrun_counter() : 0;
}

}  // namespace leadwright
