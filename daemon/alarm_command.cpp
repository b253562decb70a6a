// SPDX-License-Identifier: Apache-2.0
#include "daemon/alarm_command.h"

#include <fcntl.h>
#include <pthread.h>
#include <spawn.h>
#include <sys/wait.h>

#include <csignal>
#include <cstring>

#include "daemon/settings/log.h"

namespace leadwright {

namespace {

constexpr std::chrono::milliseconds look_period{50};

std::vector<char*> pointers(std::vector<std::string>& texts) {
  std::vector<char*> all;
  all.reserve(texts.size() + 1);
  for (std::string& text : texts) all.push_back(text.data());
  all.push_back(nullptr);
  return all;
}

/// The new process, or the error number. It starts with no signal blocked or ignored, and without input.
tl::expected<pid_t, int> start(std::vector<std::string> words, std::vector<std::string> environment) {
  posix_spawn_file_actions_t files;
  posix_spawnattr_t attributes;
  ::posix_spawn_file_actions_init(&files);
  ::posix_spawn_file_actions_addopen(&files, 0, "/dev/null", O_RDONLY, 0);
  ::posix_spawnattr_init(&attributes);
  sigset_t none;
  sigset_t all;
  ::sigemptyset(&none);
  ::sigfillset(&all);
  ::posix_spawnattr_setsigmask(&attributes, &none);
  ::posix_spawnattr_setsigdefault(&attributes, &all);
  ::posix_spawnattr_setpgroup(&attributes, 0);
  ::posix_spawnattr_setflags(&attributes,
                             POSIX_SPAWN_SETSIGMASK | POSIX_SPAWN_SETSIGDEF | POSIX_SPAWN_SETPGROUP);
  pid_t process = 0;
  const int failed = ::posix_spawn(&process, words.front().c_str(), &files, &attributes,
                                   pointers(words).data(), pointers(environment).data());
  ::posix_spawnattr_destroy(&attributes);
  ::posix_spawn_file_actions_destroy(&files);
  if (failed != 0) return tl::unexpected(failed);
  return process;
}

}  // namespace

AlarmCommand::AlarmCommand(AlarmSettings settings) : settings_(std::move(settings)) {
  // Signals are for main's loop: a thread inherits what is blocked where it is made.
  sigset_t all;
  sigset_t before;
  ::sigfillset(&all);
  ::pthread_sigmask(SIG_SETMASK, &all, &before);
  thread_ = std::thread([this] { work(); });
  ::pthread_sigmask(SIG_SETMASK, &before, nullptr);
}

AlarmCommand::~AlarmCommand() {
  {
    const std::lock_guard lock(mutex_);
    is_ending_ = true;
    waiting_.clear();
  }
  changed_.notify_all();
  thread_.join();
}

void AlarmCommand::call(AlarmCall call) {
  {
    const std::lock_guard lock(mutex_);
    if (waiting_.size() >= waiting_max) {
      log_event(Level::error, "alarm.dropped", {{"place", call.place}, {"what", call.what}});
      return;
    }
    waiting_.push_back(std::move(call));
  }
  changed_.notify_all();
}

void AlarmCommand::finish() {
  std::unique_lock lock(mutex_);
  changed_.wait(lock, [this] { return waiting_.empty() && !is_busy_; });
}

bool AlarmCommand::is_ending_after(std::chrono::milliseconds pause) {
  std::unique_lock lock(mutex_);
  return changed_.wait_for(lock, pause, [this] { return is_ending_; });
}

void AlarmCommand::work() {
  std::unique_lock lock(mutex_);
  while (true) {
    changed_.wait(lock, [this] { return is_ending_ || !waiting_.empty(); });
    if (is_ending_) return;
    const AlarmCall call = std::move(waiting_.front());
    waiting_.pop_front();
    is_busy_ = true;
    lock.unlock();
    carry_out(call);
    lock.lock();
    is_busy_ = false;
    changed_.notify_all();
  }
}

void AlarmCommand::carry_out(const AlarmCall& call) {
  std::vector<std::string> words =
      call.kind == AlarmCall::Kind::escalated ? settings_.second_command : settings_.command;
  if (words.empty()) return;
  const std::string name = words.front();
  words.insert(words.end(), {word(call.kind), call.place, call.what});
  const auto process =
      start(std::move(words), {"PATH=/usr/local/bin:/usr/bin:/bin", "LANG=C.UTF-8",
                               std::string("LEADWRIGHT_ALARM=") + word(call.kind),
                               "LEADWRIGHT_PLACE=" + call.place, "LEADWRIGHT_WHAT=" + call.what});
  if (!process) {
    log_event(Level::error, "alarm.not_called", {{"command", name}, {"why", std::strerror(process.error())}});
    return;
  }
  int status = 0;
  const auto looks_max = static_cast<int>(lasts_max.si() * 1000.0) / static_cast<int>(look_period.count());
  for (int look = 0; ::waitpid(*process, &status, WNOHANG) == 0; ++look) {
    if (look < looks_max && !is_ending_after(look_period)) continue;
    ::kill(-*process, SIGKILL);
    ::waitpid(*process, &status, 0);
    log_event(Level::error, "alarm.killed", {{"command", name}, {"why", "it did not end in time"}});
    return;
  }
  if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) {
    log_event(Level::error, "alarm.failed",
              {{"command", name}, {"exit", std::to_string(WIFEXITED(status) ? WEXITSTATUS(status) : -1)}});
  }
}

}  // namespace leadwright
