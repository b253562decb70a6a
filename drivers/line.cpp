// SPDX-License-Identifier: Apache-2.0
#include "drivers/line.h"

#include <algorithm>

namespace leadwright {

namespace {
constexpr std::size_t urgent_max = 64;
}  // namespace

/// One who waits for a turn. It stands in its coroutine's frame, and leaves the queue with it.
struct Line::Waiting {
  Waiting(Line& owner, bool first) : line(owner), energised(first) { line.waiting_.push_back(this); }
  Waiting(const Waiting&) = delete;
  Waiting& operator=(const Waiting&) = delete;
  ~Waiting() {
    std::erase(line.waiting_, this);
    // Granted, but nobody is left to use it.
    if (granted && !used) line.give_back();
  }
  Line& line;
  bool energised;
  bool granted = false;
  bool used = false;
};

Line::Line(std::unique_ptr<Link> link, Clock& machine)
    : link_(std::move(link)), machine_(machine), changed_(machine), urgent_timer_(machine) {
  urgent_.reserve(urgent_max);
}

Task<Result<void>> Line::join(Instant deadline) {
  while (opening_now_) {
    auto change = changed_.wait_until(deadline);
    const bool changed = co_await change;
    if (!changed && opening_now_) co_return fail(Errc::busy, "the line is being opened", link_->name());
  }
  if (!link_->is_open()) {
    opening_now_ = true;
    users_ = 0;
    Result<void> opened = co_await link_->open(deadline);
    opening_now_ = false;
    changed_.notify();
    if (!opened) co_return opened;
    ++opening_;
    dirty_ = true;
    silent_until_ = Instant(INT64_MIN);
  }
  ++users_;
  co_return Result<void>();
}

void Line::leave() noexcept {
  if (users_ > 0 && --users_ == 0) drop();
}

void Line::drop() noexcept {
  users_ = 0;
  link_->close();
}

Line::Turn Line::take_free() {
  taken_ = true;
  return Turn(*this);
}

Task<Result<Line::Turn>> Line::take(Instant deadline, bool energised) {
  if (is_free()) co_return take_free();
  Waiting self(*this, energised);
  while (!self.granted) {
    auto change = changed_.wait_until(deadline);
    const bool changed = co_await change;
    if (!changed && !self.granted) {
      co_return fail(Errc::timed_out, "other instruments keep the line busy", link_->name(),
                     "put fewer instruments on one line, or raise lock_ms in the profile");
    }
  }
  self.used = true;
  co_return Turn(*this);
}

void Line::give_back() noexcept {
  if (!urgent_.empty()) {
    await_silence_for_urgent();
  } else {
    pass_on();
  }
}

void Line::pass_on() noexcept {
  taken_ = false;
  if (waiting_.empty()) return;
  auto next = std::ranges::find_if(waiting_, [](const Waiting* one) { return one->energised; });
  if (next == waiting_.end()) next = waiting_.begin();
  (*next)->granted = true;
  taken_ = true;
  waiting_.erase(next);
  changed_.notify();
}

bool Line::urgent(std::string_view bytes, bool half_duplex) noexcept {
  if (!link_->is_open()) return false;
  const bool must_wait = half_duplex && (taken_ || machine_.now() < silent_until_);
  if (!must_wait || urgent_.size() == urgent_max) {
    if (half_duplex) {
      silent_until_ = machine_.now() + urgent_spacing;
      dirty_ = true;
    }
    return link_->urgent(bytes);
  }
  const bool is_waiting_already =
      std::ranges::any_of(urgent_, [bytes](std::string_view one) { return one.data() == bytes.data(); });
  if (!is_waiting_already) urgent_.push_back(bytes);
  if (!taken_) {
    taken_ = true;
    await_silence_for_urgent();
  }
  return true;
}

void Line::flush_urgent(std::string_view bytes) noexcept {
  if (std::erase_if(urgent_, [bytes](std::string_view one) { return one.data() == bytes.data(); }) > 0) {
    link_->urgent(bytes);
  }
}

void Line::await_silence_for_urgent() noexcept {
  try {
    urgent_timer_.set(std::max(silent_until_, machine_.now()), [this] { send_urgent(); });
  } catch (...) {
    send_urgent();
  }
}

void Line::send_urgent() noexcept {
  if (!urgent_.empty()) {
    link_->urgent(urgent_.front());
    urgent_.erase(urgent_.begin());
    silent_until_ = machine_.now() + urgent_spacing;
    dirty_ = true;
  }
  if (urgent_.empty()) {
    pass_on();
  } else {
    await_silence_for_urgent();
  }
}

Second Line::urgent_within(Second exchange_max) const {
  return link_->urgent_within() + exchange_max +
         urgent_spacing * static_cast<double>(std::max(0, users_ - 1));
}

}  // namespace leadwright
