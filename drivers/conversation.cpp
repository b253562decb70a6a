// SPDX-License-Identifier: Apache-2.0
#include "drivers/conversation.h"

#include <utility>

namespace leadwright {

namespace {

/// An answer that nobody waits for (the off path does not) takes as long as others do, half as much again at
/// most: less silence says nothing. Off must not wait longer for it than for an exchange.
Second silence_for(const LatencyHistogram& replies, const LinkNeeds& needs) {
  const auto usual = replies.percentile(0.9);
  return usual ? std::min({usual->to * 1.5, needs.first_byte, needs.timeout}) : Second(0.0);
}

}  // namespace

/// Holds the line for one exchange. An exchange that did not end (its coroutine was destroyed, or it failed)
/// leaves bytes on the line, and this instrument out of step.
class Conversation::Exchange {
 public:
  Exchange(Conversation& owner, Line::Turn turn) : owner_(owner), turn_(std::move(turn)) {}
  Exchange(const Exchange&) = delete;
  Exchange& operator=(const Exchange&) = delete;
  ~Exchange() {
    Line& line = *owner_.line_;
    line.keep_silent_until(owner_.machine_.now() + owner_.profile_.link.gap);
    if (ended_well_) return;
    owner_.in_step_ = false;
    line.set_dirty(true);
  }
  void ended_well() { ended_well_ = true; }

 private:
  Conversation& owner_;
  Line::Turn turn_;
  bool ended_well_ = false;
};

Conversation::Conversation(std::shared_ptr<Line> line, const Profile& profile,
                           std::unique_ptr<Dialect> dialect, Clock& machine, Clock& bench)
    : line_(std::move(line)),
      profile_(profile),
      dialect_(std::move(dialect)),
      machine_(machine),
      bench_(bench) {
  came_.reserve(profile.link.reply_max_bytes);
}

Conversation::~Conversation() {
  close();
}

bool Conversation::is_open() const {
  return opening_ != 0 && opening_ == line_->opening() && line_->link().is_open();
}

Task<Result<void>> Conversation::open(Instant deadline) {
  close();
  Result<void> joined = co_await line_->join(deadline);
  if (!joined) co_return joined;
  opening_ = line_->opening();
  if (std::exchange(was_open_, true)) ++counters_.reopenings;
  if (!dialect_->opening().empty()) line_->link().urgent(dialect_->opening());
  in_step_ = true;
  co_return Result<void>();
}

void Conversation::close() noexcept {
  if (is_open()) line_->leave();
  opening_ = 0;
}

void Conversation::drop() noexcept {
  if (is_open()) line_->drop();
}

Task<Result<std::string_view>> Conversation::ask(std::string_view message, Instant limit) {
  Line::Turn turn;
  if (line_->is_free()) {
    turn = line_->take_free();
  } else {
    Result<Line::Turn> taken = co_await line_->take(within(profile_.link.lock, limit), energised_);
    if (!taken) co_return pass(taken);
    turn = std::move(*taken);
  }
  Exchange held(*this, std::move(turn));
  if (!in_step_ || line_->is_dirty() || machine_.now() < line_->silent_until()) {
    Result<void> begun = co_await begin(limit);
    if (!begun) co_return pass(begun);
  }
  Result<std::string_view> answer = co_await exchange(message, within(profile_.link.timeout, limit), false);
  if (!answer) {
    lost_.assign(message);
    co_return answer;
  }
  held.ended_well();
  Result<void> accepted = dialect_->check(message, *answer);
  if (!accepted) {
    accepted.error().where = link().name();
    co_return pass(accepted);
  }
  co_return answer;
}

Task<Result<void>> Conversation::tell(std::string_view message, OffGuard off) {
  Line::Turn turn;
  if (line_->is_free()) {
    turn = line_->take_free();
  } else {
    Result<Line::Turn> taken = co_await line_->take(within(profile_.link.lock, Instant::never()), energised_);
    if (!taken) co_return pass(taken);
    turn = std::move(*taken);
  }
  Exchange held(*this, std::move(turn));
  if (!in_step_ || line_->is_dirty() || machine_.now() < line_->silent_until()) {
    Result<void> begun = co_await begin(Instant::never());
    if (!begun) co_return begun;
  }
  if (off.went()) {
    held.ended_well();
    co_return fail(Errc::stopped, "switched off meanwhile", link().name());
  }
  const Instant deadline = within(profile_.link.timeout, Instant::never());
  if (!dialect_->is_answered(message)) {
    Result<void> sent = co_await put(message, deadline);
    if (sent) held.ended_well();
    co_return sent;
  }
  Result<std::string_view> answer = co_await exchange(message, deadline, false);
  if (!answer) {
    lost_.assign(message);
    co_return pass(answer);
  }
  held.ended_well();
  Result<void> accepted = dialect_->check(message, *answer);
  if (!accepted) accepted.error().where = link().name();
  co_return accepted;
}

bool Conversation::urgent(std::string_view bytes) noexcept {
  return is_open() && line_->urgent(bytes, dialect_->is_half_duplex());
}

Second Conversation::urgent_within() const {
  return line_->urgent_within(dialect_->is_half_duplex() ? profile_.link.timeout : Second(0.0));
}

Task<Result<void>> Conversation::begin(Instant limit) {
  if (!is_open())
    co_return fail(Errc::link_lost, "the link is closed", link().name(), "check cable and power");
  if (line_->is_dirty()) {
    // A device clear where there is one: reading what nobody asked for would hang a USBTMC device.
    Result<void> quiet = co_await link().clear(machine_.now() + quieten_time_max);
    if (!quiet && quiet.error().code == Errc::unsupported) quiet = co_await quieten();
    if (!quiet) co_return quiet;
    line_->set_dirty(false);
  }
  if (!in_step_) {
    Result<void> in_step = co_await get_in_step(within(profile_.link.timeout, limit));
    if (!in_step) co_return in_step;
    in_step_ = true;
  }
  if (machine_.now() < line_->silent_until()) {
    auto gap = machine_.sleep_until(line_->silent_until());
    co_await gap;
  }
  co_return may_go_on();
}

Result<void> Conversation::may_go_on() const {
  if (!line_->urgent_waits()) return {};
  return fail(Errc::busy, "the line is needed to switch off", link().name());
}

Task<Result<void>> Conversation::put(std::string_view message, Instant deadline) {
  wire_.clear();
  dialect_->frame(message, wire_);
  return link().write(wire_, within(profile_.link.write, deadline));
}

Task<Result<std::string_view>> Conversation::exchange(std::string_view message, Instant deadline,
                                                      bool is_fence) {
  link().discard_input();
  came_.clear();
  const Instant asked = bench_.now();
  const Instant began = machine_.now();
  ++counters_.exchanges;
  Result<void> sent = co_await put(message, deadline);
  if (!sent) co_return pass(sent);
  Result<std::string_view> answer = co_await await_answer(message, deadline, is_fence);
  middle_ = midpoint(asked, bench_.now());
  if (answer) counters_.replies.add(began, machine_.now());
  co_return answer;
}

Error Conversation::garbled(const char* why) {
  ++counters_.garbles;
  return {Errc::garbled, why, link().name(), ""};
}

Task<Result<std::string_view>> Conversation::await_answer(std::string_view message, Instant deadline,
                                                          bool is_fence) {
  Instant next = within(profile_.link.first_byte, deadline);
  while (true) {
    Result<std::size_t> count = co_await link().read(piece_, next);
    if (!count) {
      if (count.error().code == Errc::timed_out) {
        ++counters_.time_outs;
        if (!came_.empty()) count.error().what = "the answer stopped in the middle";
      }
      co_return pass(count);
    }
    came_.append(piece_.data(), *count);
    const bool ended = link().message_ended();
    const Heard heard =
        is_fence ? dialect_->hear_fence(message, came_, ended) : dialect_->hear(message, came_, ended);
    if (heard.kind == Heard::Kind::answer) co_return heard.answer;
    if (heard.kind == Heard::Kind::garbled) co_return tl::unexpected<Error>(garbled(heard.why));
    if (came_.size() > profile_.link.reply_max_bytes) {
      co_return tl::unexpected<Error>(garbled("the answer does not end"));
    }
    next = within(profile_.link.next_byte, deadline);
  }
}

Task<Result<void>> Conversation::quieten() {
  const Instant give_up = machine_.now() + quieten_time_max;
  const Second enough = std::max(quiet_time, silence_for(counters_.replies, profile_.link));
  while (machine_.now() < give_up) {
    Result<void> on = may_go_on();
    if (!on) co_return on;
    const Instant silence = std::min(machine_.now() + enough, give_up);
    Result<std::size_t> came = co_await link().read(piece_, silence);
    if (came) continue;
    if (came.error().code == Errc::timed_out) co_return Result<void>();
    co_return pass(came);
  }
  co_return fail(Errc::garbled, "the instrument talks without being asked", link().name(),
                 "check the serial settings, and that no other program uses the line");
}

Task<Result<void>> Conversation::get_in_step(Instant deadline) {
  const std::string fence = dialect_->fence(lost_);
  if (fence.empty()) co_return Result<void>();
  if (machine_.now() < line_->silent_until()) {
    auto gap = machine_.sleep_until(line_->silent_until());
    co_await gap;
  }
  Result<void> on = may_go_on();
  if (!on) co_return on;
  Result<std::string_view> answer = co_await exchange(fence, deadline, true);
  if (!answer) co_return pass(answer);
  line_->keep_silent_until(machine_.now() + profile_.link.gap);
  co_return Result<void>();
}

}  // namespace leadwright
