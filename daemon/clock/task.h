// SPDX-License-Identifier: Apache-2.0
// Task<T>: a lazy coroutine that runs when awaited and resumes its awaiter when it ends.
// Why not the coroutines of Asio: DEVELOPERS.md, decision "Our own task". Rules for users: one thread; a
// destroyed Task destroys its frame, which leaves every list and timer it waited in; no capturing lambda
// inside a co_await expression (GCC 12.2 destroys its captures twice).
#pragma once

#include <coroutine>
#include <exception>
#include <optional>
#include <utility>

namespace leadwright {

template <class T = void>
class Task;

namespace detail {

struct PromiseBase {
  std::coroutine_handle<> continuation = std::noop_coroutine();
  std::exception_ptr thrown;

  std::suspend_always initial_suspend() noexcept { return {}; }
  struct Final {
    bool await_ready() noexcept { return false; }
    template <class P>
    std::coroutine_handle<> await_suspend(std::coroutine_handle<P> ended) noexcept {
      return ended.promise().continuation;
    }
    void await_resume() noexcept {}
  };
  Final final_suspend() noexcept { return {}; }
  void unhandled_exception() noexcept { thrown = std::current_exception(); }
};

template <class T>
struct Promise : PromiseBase {
  std::optional<T> value;
  Task<T> get_return_object();
  template <class U>
  void return_value(U&& result) {
    value.emplace(std::forward<U>(result));
  }
};

template <>
struct Promise<void> : PromiseBase {
  Task<void> get_return_object();
  void return_void() noexcept {}
};

}  // namespace detail

template <class T>
class [[nodiscard]] Task {
 public:
  using promise_type = detail::Promise<T>;

  Task() = default;
  explicit Task(std::coroutine_handle<promise_type> frame) : frame_(frame) {}
  Task(Task&& other) noexcept : frame_(std::exchange(other.frame_, {})) {}
  Task& operator=(Task&& other) noexcept {
    if (this != &other) {
      if (frame_) frame_.destroy();
      frame_ = std::exchange(other.frame_, {});
    }
    return *this;
  }
  ~Task() {
    if (frame_) frame_.destroy();
  }

  bool valid() const { return static_cast<bool>(frame_); }
  bool done() const { return frame_ && frame_.done(); }

  bool await_ready() const noexcept { return false; }
  std::coroutine_handle<> await_suspend(std::coroutine_handle<> awaiter) noexcept {
    frame_.promise().continuation = awaiter;
    return frame_;
  }
  T await_resume() {
    if (frame_.promise().thrown) std::rethrow_exception(frame_.promise().thrown);
    if constexpr (!std::is_void_v<T>) return std::move(*frame_.promise().value);
  }

  /// For Job only: starts a root task.
  std::coroutine_handle<promise_type> frame() const { return frame_; }

 private:
  std::coroutine_handle<promise_type> frame_;
};

namespace detail {
template <class T>
Task<T> Promise<T>::get_return_object() {
  return Task<T>(std::coroutine_handle<Promise<T>>::from_promise(*this));
}
inline Task<void> Promise<void>::get_return_object() {
  return Task<void>(std::coroutine_handle<Promise<void>>::from_promise(*this));
}
}  // namespace detail

}  // namespace leadwright
