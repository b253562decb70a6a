// SPDX-License-Identifier: Apache-2.0
#include "drivers/usbtmc_link.h"

#include <algorithm>
#include <utility>

namespace leadwright {

/// A request whose reply a coroutine waits for. Withdrawn when the coroutine gives up or is destroyed.
class UsbtmcLink::Call {
 public:
  Call(UsbtmcLink& link, std::uint64_t number) : link_(link), number_(number) {
    link_.calls_.push_back(this);
  }
  Call(const Call&) = delete;
  Call& operator=(const Call&) = delete;
  ~Call() {
    std::erase(link_.calls_, this);
    if (!reply) link_.helper_.withdraw(number_);
  }
  std::uint64_t number() const { return number_; }
  std::optional<UsbtmcReply> reply;

 private:
  UsbtmcLink& link_;
  std::uint64_t number_;
};

UsbtmcLink::UsbtmcLink(Clock& machine, const LinkAddress& address, std::shared_ptr<HelperThreads> threads,
                       Second timeout)
    : name_(address.text()),
      machine_(machine),
      timeout_(timeout),
      timeout_longest_(timeout),
      changed_(machine),
      helper_(machine.loop(), std::move(threads), address.target, name_,
              [this](UsbtmcReply& reply) { hear(reply); }) {}

UsbtmcLink::~UsbtmcLink() {
  close();
}

Task<Result<void>> UsbtmcLink::open(Instant deadline) {
  if (is_open()) co_return fail(Errc::busy, "already open", name_);
  Result<void> started = helper_.start();
  if (!started) co_return started;
  timeout_longest_ = timeout_;
  UsbtmcRequest opening = request(UsbtmcRequest::Kind::open, machine_.now());
  opening_ = opening.number;
  Result<UsbtmcReply> reply = co_await call(std::move(opening), deadline);
  if (!reply) co_return pass(reply);
  co_return Result<void>();
}

Task<Result<void>> UsbtmcLink::write(std::string_view bytes, Instant deadline) {
  if (!is_open()) co_return fail(Errc::link_lost, "the link is closed", name_, "check cable and power");
  UsbtmcRequest message = request(UsbtmcRequest::Kind::write, deadline);
  message.message = bytes;
  message_ended_ = false;
  Result<UsbtmcReply> reply = co_await call(std::move(message), deadline);
  if (!reply) co_return pass(reply);
  is_asked_ = true;
  changed_.notify();
  co_return Result<void>();
}

Task<Result<std::size_t>> UsbtmcLink::read(std::span<char> into, Instant deadline) {
  message_ended_ = false;
  while (taken_ == piece_.size()) {
    if (!is_open()) co_return fail(Errc::link_lost, "the link is closed", name_, "check cable and power");
    if (!is_asked_) {
      auto change = changed_.wait_until(deadline);
      const bool came = co_await change;
      if (!came) co_return fail(Errc::timed_out, "no answer in time", name_);
      continue;
    }
    UsbtmcRequest transfer = request(UsbtmcRequest::Kind::read, deadline);
    Result<UsbtmcReply> reply = co_await call(std::move(transfer), deadline);
    // After a failure the helper makes the device forget the question.
    is_asked_ = reply.has_value() && !reply->ends_message;
    if (!reply) co_return pass(reply);
    piece_ = std::move(reply->bytes);
    taken_ = 0;
    piece_ends_message_ = reply->ends_message;
  }
  const std::size_t count = std::min(into.size(), piece_.size() - taken_);
  std::copy_n(piece_.data() + taken_, count, into.data());
  taken_ += count;
  message_ended_ = piece_ends_message_ && taken_ == piece_.size();
  co_return count;
}

Task<Result<void>> UsbtmcLink::clear(Instant deadline) {
  if (!is_open()) co_return fail(Errc::link_lost, "the link is closed", name_, "check cable and power");
  forget_input();
  UsbtmcRequest asked = request(UsbtmcRequest::Kind::clear, machine_.now());
  Result<UsbtmcReply> reply = co_await call(std::move(asked), deadline);
  if (!reply) co_return pass(reply);
  co_return Result<void>();
}

Task<Result<std::uint8_t>> UsbtmcLink::status_byte(Instant deadline) {
  if (!is_open()) co_return fail(Errc::link_lost, "the link is closed", name_, "check cable and power");
  UsbtmcRequest asked = request(UsbtmcRequest::Kind::status, deadline);
  Result<UsbtmcReply> reply = co_await call(std::move(asked), deadline);
  if (!reply) co_return pass(reply);
  co_return reply->status;
}

void UsbtmcLink::discard_input() {
  piece_.clear();
  taken_ = 0;
  message_ended_ = false;
}

void UsbtmcLink::forget_input() {
  discard_input();
  is_asked_ = false;
}

bool UsbtmcLink::urgent(std::string_view bytes) noexcept {
  if (!is_open()) return false;
  const UsbtmcHelper::Urgent taken = helper_.urgent(bytes);
  if (taken == UsbtmcHelper::Urgent::refused) return false;
  const bool is_sure = taken == UsbtmcHelper::Urgent::sure;
  try {
    if (tap) tap(name_, true, bytes, machine_.now());
  } catch (...) {
    // The bytes are on their way; a log that can't take them must not make that look like a failure.
    return is_sure;
  }
  return is_sure;
}

void UsbtmcLink::close() noexcept {
  is_open_ = false;
  ++closings_;
  forget_input();
  helper_.close();
  changed_.notify();
}

UsbtmcRequest UsbtmcLink::request(UsbtmcRequest::Kind kind, Instant deadline) {
  UsbtmcRequest made;
  made.kind = kind;
  made.number = ++number_;
  made.timeout = std::clamp(deadline - machine_.now(), timeout_, std::max(timeout_, timeout_max));
  timeout_longest_ = std::max(timeout_longest_, made.timeout);
  return made;
}

Task<Result<UsbtmcReply>> UsbtmcLink::call(UsbtmcRequest request, Instant deadline) {
  Call mine(*this, request.number);
  const unsigned closings = closings_;
  Result<void> asked = helper_.ask(std::move(request));
  if (!asked) co_return pass(asked);
  while (!mine.reply) {
    auto change = changed_.wait_until(deadline);
    const bool came = co_await change;
    if (mine.reply) break;
    if (closings_ != closings) co_return fail(Errc::link_lost, "the link is closed", name_);
    if (!came) co_return fail(Errc::timed_out, "the device keeps the kernel waiting", name_);
  }
  if (mine.reply->error) co_return tl::unexpected(std::move(*mine.reply->error));
  co_return std::move(*mine.reply);
}

void UsbtmcLink::hear(UsbtmcReply& reply) {
  const bool is_outward = reply.kind == UsbtmcRequest::Kind::write;
  if (tap && !reply.error && !reply.bytes.empty()) tap(name_, is_outward, reply.bytes, machine_.now());
  const auto waiting =
      std::ranges::find_if(calls_, [&reply](const Call* each) { return each->number() == reply.number; });
  if (reply.is_lost && reply.opening == opening_ && is_open_) {
    is_open_ = false;
    forget_input();
  }
  if (waiting != calls_.end()) {
    if (reply.kind == UsbtmcRequest::Kind::open && !reply.error) is_open_ = true;
    (*waiting)->reply = std::move(reply);
  }
  changed_.notify();
}

}  // namespace leadwright
