// SPDX-License-Identifier: Apache-2.0
// The thread's half of a USBTMC link.
#include "drivers/usbtmc_worker.h"

#include <algorithm>
#include <utility>

namespace leadwright {

namespace {

/// Every message is whole on this link: a line without content ends nothing, and is not sent.
bool is_blank(std::string_view line) {
  return line.find_first_not_of(" \r\n") == std::string_view::npos;
}

}  // namespace

bool UsbtmcHelper::Worker::has_work() const {
  return urgent_size_ > 0 || close_wanted_ || is_ended_ || must_clear_ || !queue_.empty();
}

void UsbtmcHelper::Worker::run() {
  Lock lock(mutex_);
  while (true) {
    work_.wait(lock, [this] { return has_work(); });
    const bool clears_anyway = !queue_.empty() && queue_.front().request.kind == Kind::clear;
    if (urgent_size_ > 0) {
      send_urgent(lock);
    } else if (close_wanted_) {
      close_wanted_ = must_clear_ = false;
      lock.unlock();
      file_.close();
      lock.lock();
    } else if (is_ended_) {
      return;
    } else if (must_clear_ && !file_.is_open()) {
      must_clear_ = false;
    } else if (must_clear_ && !clears_anyway) {
      Result<void> cleared = clear_device(lock);
      if (!cleared) tell_lost(cleared.error());
    } else {
      serve(lock);
    }
  }
}

void UsbtmcHelper::Worker::serve(Lock& lock) {
  Queued next = std::move(queue_.front());
  queue_.pop_front();
  busy_with_ = next.request.number;
  is_unwanted_ = false;
  const bool was_open = file_.is_open();
  UsbtmcReply reply;
  reply.kind = next.request.kind;
  reply.number = next.request.number;
  if (next.is_overtaken) {
    reply.error = Error{Errc::stopped, "an urgent message went first", name_, {}};
  } else if (reply.kind != Kind::open && !was_open) {
    reply.error = Error{Errc::link_lost, "the device is closed", name_, "check cable and power"};
  } else if (reply.kind == Kind::clear) {
    Result<void> cleared = clear_device(lock);
    if (!cleared) reply.error = std::move(cleared.error());
  } else {
    lock.unlock();
    perform(next.request, reply);
    lock.lock();
  }
  finish(reply, was_open);
}

void UsbtmcHelper::Worker::finish(UsbtmcReply& reply, bool was_open) {
  const bool is_transfer = reply.kind == Kind::read || reply.kind == Kind::write;
  const bool is_stopped = reply.error && reply.error->code == Errc::stopped;
  const bool leaves_more = is_transfer && !reply.error && !reply.ends_message;
  if (file_.is_open()) {
    const bool has_failed = is_transfer && reply.error && !is_stopped;
    if (has_failed || (is_unwanted_ && leaves_more)) must_clear_ = true;
    if (is_unwanted_ && reply.kind == Kind::open) close_wanted_ = true;
  }
  left_open_ = leaves_more ? reply.number : 0;
  busy_with_ = 0;
  reply.is_lost = was_open && !file_.is_open();
  reply.opening = opening_;
  post(std::move(reply));
}

void UsbtmcHelper::Worker::perform(UsbtmcRequest& request, UsbtmcReply& reply) {
  Result<void> outcome;
  if (request.kind == Kind::open) {
    outcome = file_.open(request.timeout);
    opening_ = request.number;
    doubt_ = Doubt::none;
  } else {
    outcome = file_.set_timeout(request.timeout);
  }
  if (outcome && request.kind == Kind::write) {
    outcome = file_.write(request.message);
    reply.bytes = std::move(request.message);
    if (outcome && doubt_ == Doubt::sent) doubt_ = Doubt::followed;
  } else if (outcome && request.kind == Kind::read) {
    Result<UsbtmcPiece> piece = file_.read();
    if (piece) {
      reply.bytes = std::move(piece->bytes);
      reply.ends_message = piece->ends_message;
      if (reply.ends_message && doubt_ == Doubt::followed) doubt_ = Doubt::none;
    } else {
      outcome = pass(piece);
    }
  } else if (outcome && request.kind == Kind::status) {
    Result<std::uint8_t> status = file_.status_byte();
    if (status) {
      reply.status = *status;
    } else {
      outcome = pass(status);
    }
  }
  if (outcome) return;
  if (outcome.error().code == Errc::link_lost) file_.close();
  reply.error = std::move(outcome.error());
}

void UsbtmcHelper::Worker::send_urgent(Lock& lock) {
  const std::string bytes(urgent_.data(), urgent_size_);
  urgent_size_ = 0;
  lock.unlock();
  Result<void> sent;
  if (file_.is_open()) {
    remember_urgent(bytes);
    sent = write_lines(bytes);
    if (!sent && sent.error().code == Errc::link_lost) file_.close();
  }
  threads_.urgent_ends();
  lock.lock();
  if (sent) return;
  if (file_.is_open()) {
    must_clear_ = true;
  } else {
    tell_lost(sent.error());
  }
}

void UsbtmcHelper::Worker::remember_urgent(std::string_view bytes) {
  // Beyond this the oldest are forgotten: who switches off repeats it until it has read back that it is off.
  constexpr std::size_t doubted_max = 4 * urgent_max;
  if (doubt_ == Doubt::none || doubted_.size() + bytes.size() > doubted_max) doubted_.clear();
  if (doubted_.find(bytes) == std::string::npos) doubted_.append(bytes);
  doubt_ = Doubt::sent;
}

Result<void> UsbtmcHelper::Worker::clear_device(Lock& lock) {
  is_clearing_ = true;
  lock.unlock();
  file_.abort();
  lock.lock();
  // The abort may have taken long, and the clear may.
  if (urgent_size_ > 0) send_urgent(lock);
  lock.unlock();
  Result<void> cleared;
  if (file_.is_open()) {
    cleared = file_.clear();
    if (cleared && doubt_ != Doubt::none) cleared = write_lines(doubted_);
    if (!cleared) file_.close();
  } else {
    cleared = fail(Errc::link_lost, "the device is gone", name_, "check cable and power");
  }
  lock.lock();
  is_clearing_ = must_clear_ = false;
  return cleared;
}

Result<void> UsbtmcHelper::Worker::write_lines(std::string_view bytes) {
  while (!bytes.empty()) {
    const std::size_t end = std::min(bytes.find('\n'), bytes.size() - 1);
    const std::string_view line = bytes.substr(0, end + 1);
    bytes.remove_prefix(line.size());
    if (is_blank(line)) continue;
    Result<void> sent = file_.write(line);
    if (!sent) return sent;
  }
  return {};
}

void UsbtmcHelper::Worker::tell_lost(const Error& error) {
  UsbtmcReply reply;
  reply.error = error;
  reply.is_lost = true;
  reply.opening = opening_;
  post(std::move(reply));
}

void UsbtmcHelper::Worker::post(UsbtmcReply reply) {
  if (loop_ == nullptr) return;
  loop_->post([hear = hear_, heard = std::move(reply)]() mutable {
    if (const auto alive = hear.lock()) (*alive)(heard);
  });
}

}  // namespace leadwright
