// SPDX-License-Identifier: Apache-2.0
#include "daemon/clock/clock.h"

namespace leadwright {

namespace detail {

TimerNode::~TimerNode() {
  if (armed_) clock_->disarm(*this);
}

Waiter::Waiter(Clock& clock, Signal* signal, Instant deadline)
    : owner_(clock), signal_(signal), deadline_(deadline) {
  clock_ = &clock;
}

void Waiter::await_suspend(std::coroutine_handle<> self) {
  self_ = self;
  if (signal_ != nullptr) signal_->waiting_.push_back(*this);
  if (deadline_ != Instant::never()) owner_.arm(*this, deadline_);
}

void Waiter::fire() {
  end(false);
}

void Waiter::end(bool signalled) {
  signalled_ = signalled;
  unlink();
  Loop& loop = owner_.loop();
  const bool was_empty = loop.ready_.empty();
  loop.ready_.push_back(*this);
  if (was_empty) loop.wake();
}

}  // namespace detail

void Loop::drain() {
  while (!ready_.empty()) {
    auto* waiter = static_cast<detail::Waiter*>(ready_.next);
    waiter->unlink();
    waiter->self_.resume();
  }
}

bool Clock::before(const detail::TimerNode& a, const detail::TimerNode& b) {
  return a.at_ != b.at_ ? a.at_ < b.at_ : a.sequence_ < b.sequence_;
}

void Clock::place(detail::TimerNode* node, std::size_t index) {
  heap_[index] = node;
  node->heap_index_ = index;
}

void Clock::sift_up(std::size_t index) {
  detail::TimerNode* node = heap_[index];
  while (index > 0) {
    const std::size_t parent = (index - 1) / 2;
    if (!before(*node, *heap_[parent])) break;
    place(heap_[parent], index);
    index = parent;
  }
  place(node, index);
}

void Clock::sift_down(std::size_t index) {
  detail::TimerNode* node = heap_[index];
  while (true) {
    std::size_t child = 2 * index + 1;
    if (child >= heap_.size()) break;
    if (child + 1 < heap_.size() && before(*heap_[child + 1], *heap_[child])) ++child;
    if (!before(*heap_[child], *node)) break;
    place(heap_[child], index);
    index = child;
  }
  place(node, index);
}

void Clock::arm(detail::TimerNode& node, Instant at) {
  if (node.armed_) disarm(node);
  node.at_ = at;
  node.sequence_ = ++sequence_;
  node.armed_ = true;
  heap_.push_back(&node);
  node.heap_index_ = heap_.size() - 1;
  sift_up(node.heap_index_);
  if (heap_.front() == &node) earliest_changed();
}

void Clock::disarm(detail::TimerNode& node) {
  if (!node.armed_) return;
  const std::size_t index = node.heap_index_;
  node.armed_ = false;
  detail::TimerNode* last = heap_.back();
  heap_.pop_back();
  if (last == &node) return;
  place(last, index);
  sift_up(index);
  sift_down(last->heap_index_);
}

void Clock::fire_earliest() {
  detail::TimerNode* node = heap_.front();
  disarm(*node);
  node->fire();
}

void Timer::set(Instant at, std::function<void()> call) {
  call_ = std::move(call);
  clock_->arm(*this, at);
}

void Timer::cancel() {
  clock_->disarm(*this);
}

void Timer::fire() {
  const std::function<void()> call = std::move(call_);
  call();
}

void Signal::notify() {
  while (!waiting_.empty()) {
    auto* waiter = static_cast<detail::Waiter*>(waiting_.next);
    clock_.disarm(*waiter);
    waiter->end(true);
  }
}

Task<void> Job::guard(Loop* loop, Task<void> task) {
  try {
    co_await task;
  } catch (...) {
    if (!loop->on_bug) std::terminate();
    loop->on_bug(std::current_exception());
  }
}

Job::Job(Loop& loop, Task<void> task) : root_(guard(&loop, std::move(task))) {
  root_.frame().resume();
}

}  // namespace leadwright
