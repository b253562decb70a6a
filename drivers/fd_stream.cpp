// SPDX-License-Identifier: Apache-2.0
#include "drivers/fd_stream.h"

#include <sys/socket.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <cerrno>
#include <system_error>

#include "daemon/clock/real_clock.h"
#include "drivers/link_input.h"

namespace leadwright {

namespace {

bool is_a_socket(int descriptor) noexcept {
  struct stat status {};
  return ::fstat(descriptor, &status) == 0 && S_ISSOCK(status.st_mode);
}

}  // namespace

/// Kept alive by the handlers that Asio still holds, so that a closed stream may go at any time.
struct FdStream::State : std::enable_shared_from_this<State> {
  State(AsioLoop& owner, Clock& machine, std::string link, StreamTap tap)
      : loop(owner),
        name(std::move(link)),
        heard(std::move(tap)),
        file(owner.context()),
        input(machine),
        writable(machine) {}

  AsioLoop& loop;
  std::string name;
  StreamTap heard;
  boost::asio::posix::stream_descriptor file;
  LinkInput input;
  Signal writable;
  bool is_socket = false;
  bool is_half_sent = false;
  bool was_cut_short = false;
  /// Counts openings: a handler of an earlier one, still on its way, must not touch a later one.
  unsigned opening = 0;

  void pump() {
    const auto ready = [self = shared_from_this(), mine = opening](const boost::system::error_code& error) {
      if (!self->file.is_open() || mine != self->opening) return;
      if (error) {
        self->close();
      } else if (self->take()) {
        self->pump();
      }
      self->loop.drain();
    };
    file.async_wait(boost::asio::posix::descriptor_base::wait_read, ready);
  }

  /// Reads what is there. False if the other end is gone: 0 is a hang-up, not "nothing yet".
  bool take() {
    std::array<char, 4096> piece;
    ssize_t count = -1;
    do {
      count = ::read(file.native_handle(), piece.data(), piece.size());
    } while (count < 0 && errno == EINTR);
    if (count < 0 && (errno == EAGAIN || errno == EWOULDBLOCK)) return true;
    if (count <= 0) {
      close();
      return false;
    }
    const std::string_view bytes(piece.data(), static_cast<std::size_t>(count));
    if (heard) heard(false, bytes);
    input.append(bytes);
    return true;
  }

  /// Sends what the kernel takes, again after a signal. Never blocks: the descriptor is non-blocking. A peer
  /// that is gone is an error, not SIGPIPE.
  ssize_t put(std::string_view bytes) noexcept {
    const int descriptor = file.native_handle();
    ssize_t count = -1;
    do {
      count = is_socket ? ::send(descriptor, bytes.data(), bytes.size(), MSG_NOSIGNAL)
                        : ::write(descriptor, bytes.data(), bytes.size());
    } while (count < 0 && errno == EINTR);
    return count;
  }

  void await_writable() {
    const auto ready = [self = shared_from_this()](const boost::system::error_code&) {
      self->writable.notify();
      self->loop.drain();
    };
    file.async_wait(boost::asio::posix::descriptor_base::wait_write, ready);
  }

  void close() noexcept {
    boost::system::error_code ignored;
    file.close(ignored);
    is_half_sent = false;
    input.close();
    writable.notify();
  }
};

FdStream::FdStream(AsioLoop& loop, Clock& machine, std::string name, StreamTap heard)
    : state_(std::make_shared<State>(loop, machine, std::move(name), std::move(heard))) {}

FdStream::~FdStream() {
  close();
}

Result<void> FdStream::adopt(int descriptor, Pump pump) {
  boost::system::error_code error;
  state_->file.assign(descriptor, error);
  if (error) {
    ::close(descriptor);
    return fail(Errc::io, error.message(), state_->name);
  }
  state_->is_socket = is_a_socket(descriptor);
  state_->input.open();
  state_->is_half_sent = false;
  ++state_->opening;
  if (pump == Pump::now) start();
  return {};
}

void FdStream::start() {
  state_->pump();
}

bool FdStream::is_open() const {
  return state_->file.is_open();
}

int FdStream::descriptor() const {
  return state_->file.native_handle();
}

Task<Result<void>> FdStream::write(std::string_view bytes, Instant deadline) {
  State& state = *state_;
  state.was_cut_short = false;
  const std::string_view whole = bytes;
  // What an earlier write left half-sent must not become the head of this message.
  if (state.is_half_sent && state.put("\n") == 1) state.is_half_sent = false;
  while (state.file.is_open()) {
    const ssize_t count = state.put(bytes);
    if (count < 0 && errno != EAGAIN && errno != EWOULDBLOCK) break;
    if (count > 0) bytes.remove_prefix(static_cast<std::size_t>(count));
    state.is_half_sent = !bytes.empty() && bytes.size() < whole.size();
    if (bytes.empty()) {
      if (state.heard) state.heard(true, whole);
      co_return Result<void>();
    }
    const bool came = co_await writable(deadline);
    if (state.was_cut_short) co_return fail(Errc::stopped, "an urgent message went first", state.name);
    if (!came) co_return fail(Errc::timed_out, "the line does not take our bytes", state.name);
  }
  state.close();
  co_return fail(Errc::link_lost, "the link is gone", state.name, "check cable and power");
}

Task<bool> FdStream::writable(Instant deadline) {
  state_->await_writable();
  auto ready = state_->writable.wait_until(deadline);
  co_return co_await ready;
}

Task<Result<std::size_t>> FdStream::read(std::span<char> into, Instant deadline) {
  return state_->input.read(into, deadline, state_->name);
}

void FdStream::discard_input() {
  if (is_open() && !state_->take()) return;
  state_->input.discard();
}

bool FdStream::urgent(std::string_view bytes) noexcept {
  State& state = *state_;
  if (!state.file.is_open()) return false;
  if (state.is_half_sent) {
    // Ends the half-sent message: the instrument refuses it, and reads ours as a message of its own.
    state.put("\n");
    state.is_half_sent = false;
    state.was_cut_short = true;
  }
  const bool is_taken = state.put(bytes) == static_cast<ssize_t>(bytes.size());
  try {
    if (is_taken && state.heard) state.heard(true, bytes);
  } catch (...) {
    // The bytes are out; a log that can't take them must not make that look like a failure.
    return is_taken;
  }
  return is_taken;
}

void FdStream::close() noexcept {
  if (state_->file.is_open()) state_->close();
}

}  // namespace leadwright
