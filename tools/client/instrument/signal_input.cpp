// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument/signal_input.h"

#include <poll.h>
#include <sys/signalfd.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <csignal>

namespace leadwright {

SignalInput::SignalInput(int descriptor) : descriptor_(descriptor) {
  sigset_t ending;
  sigemptyset(&ending);
  for (const int signal : {SIGINT, SIGTERM, SIGHUP}) sigaddset(&ending, signal);
  sigprocmask(SIG_BLOCK, &ending, nullptr);
  signals_ = ::signalfd(-1, &ending, SFD_CLOEXEC | SFD_NONBLOCK);
  std::signal(SIGPIPE, SIG_IGN);
}

SignalInput::~SignalInput() {
  if (signals_ >= 0) ::close(signals_);
}

bool SignalInput::was_told_to_end() const {
  pollfd told{signals_, POLLIN, 0};
  return ::poll(&told, 1, 0) == 1;
}

/// True if there is something to read, false once a signal came or nothing can be waited for.
bool SignalInput::await_input() {
  while (true) {
    std::array<pollfd, 2> either{{{signals_, POLLIN, 0}, {descriptor_, POLLIN, 0}}};
    const int count = ::poll(either.data(), either.size(), -1);
    if (count < 0 && errno == EINTR) continue;
    return count > 0 && either[0].revents == 0;
  }
}

std::optional<std::string> SignalInput::next() {
  while (true) {
    if (was_told_to_end()) return std::nullopt;
    const std::size_t end = unread_.find('\n');
    if (end != std::string::npos || unread_.size() > line_max || (has_ended_ && !unread_.empty())) {
      std::string line = unread_.substr(0, std::min(end, line_max));
      unread_.erase(0, end == line.size() ? end + 1 : line.size());
      if (!line.empty() && line.back() == '\r') line.pop_back();
      return line;
    }
    if (has_ended_) return std::nullopt;
    if (!await_input()) return std::nullopt;
    std::array<char, 1024> piece{};
    const ssize_t count = ::read(descriptor_, piece.data(), piece.size());
    if (count > 0) {
      unread_.append(piece.data(), static_cast<std::size_t>(count));
    } else if (count == 0 || errno != EINTR) {
      has_ended_ = true;
    }
  }
}

}  // namespace leadwright
