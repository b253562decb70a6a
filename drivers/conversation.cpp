// SPDX-License-Identifier: Apache-2.0
#include "drivers/conversation.h"

#include <algorithm>
#include <utility>

#include "protocol/scpi.h"

namespace leadwright {

/// Holds the line for one exchange. An exchange that did not end (its coroutine was destroyed, or it failed)
/// leaves the line out of step.
class Conversation::Turn {
 public:
  explicit Turn(Conversation& owner) : owner_(owner) { owner_.turn_taken_ = true; }
  Turn(const Turn&) = delete;
  Turn& operator=(const Turn&) = delete;
  ~Turn() {
    if (!ended_well_) owner_.in_step_ = false;
    owner_.turn_taken_ = false;
    owner_.turn_free_.notify();
  }
  void ended_well() { ended_well_ = true; }

 private:
  Conversation& owner_;
  bool ended_well_ = false;
};

Conversation::Conversation(Link& link, const Profile& profile, Clock& machine, Clock& bench)
    : link_(link), profile_(profile), machine_(machine), bench_(bench), turn_free_(machine) {
  line_.reserve(profile.link.reply_max_bytes);
}

Instant Conversation::deadline_from_now(Instant limit) const {
  return std::min(machine_.now() + profile_.link.timeout, limit);
}

Task<Result<std::string_view>> Conversation::ask(std::string_view question, Instant limit) {
  while (turn_taken_) {
    auto free = turn_free_.wait();
    co_await free;
  }
  Turn turn(*this);
  if (!in_step_ || machine_.now() < next_message_at_) {
    Result<void> begun = co_await begin(limit);
    if (!begun) co_return pass(begun);
  }
  link_.discard_input();
  const Instant deadline = deadline_from_now(limit);
  const Instant asked = bench_.now();
  const Instant began = machine_.now();
  ++counters_.exchanges;
  Result<void> sent = co_await link_.write(question, deadline);
  if (!sent) co_return pass(sent);
  Result<std::string_view> answer = co_await get_line(deadline);
  middle_ = midpoint(asked, bench_.now());
  const Instant ended = machine_.now();
  next_message_at_ = ended + profile_.link.gap;
  if (answer) {
    counters_.replies.add(began, ended);
    turn.ended_well();
  }
  co_return answer;
}

Task<Result<void>> Conversation::tell(std::string_view command, const std::uint64_t* off_count) {
  while (turn_taken_) {
    auto free = turn_free_.wait();
    co_await free;
  }
  Turn turn(*this);
  if (!in_step_ || machine_.now() < next_message_at_) {
    Result<void> begun = co_await begin(Instant::never());
    if (!begun) co_return begun;
  }
  if (off_count != nullptr && *off_count != off_count_) {
    turn.ended_well();
    co_return fail(Errc::stopped, "switched off meanwhile", link_.name());
  }
  Result<void> sent = co_await link_.write(command, deadline_from_now(Instant::never()));
  next_message_at_ = machine_.now() + profile_.link.gap;
  if (sent) turn.ended_well();
  co_return sent;
}

bool Conversation::off_now(std::string_view bytes) noexcept {
  ++off_count_;
  return link_.urgent(bytes);
}

Task<Result<void>> Conversation::begin(Instant limit) {
  if (!in_step_) {
    Result<void> quiet = co_await quieten();
    if (!quiet) co_return quiet;
    const Instant deadline = deadline_from_now(limit);
    Result<void> in_step = co_await get_in_step(deadline);
    if (!in_step) co_return in_step;
    in_step_ = true;
  }
  if (machine_.now() < next_message_at_) {
    auto gap = machine_.sleep_until(next_message_at_);
    co_await gap;
  }
  co_return Result<void>();
}

Task<Result<std::string_view>> Conversation::get_line(Instant deadline) {
  line_.clear();
  std::size_t begin = 0;
  while (true) {
    Result<std::size_t> count = co_await link_.read(piece_, deadline);
    if (!count) {
      if (count.error().code == Errc::timed_out) ++counters_.time_outs;
      co_return pass(count);
    }
    line_.append(piece_.data(), *count);
    for (std::size_t end = line_.find('\n', begin); end != std::string::npos; end = line_.find('\n', begin)) {
      const std::string_view line = trim_scpi(std::string_view(line_).substr(begin, end - begin));
      begin = end + 1;
      if (line.empty()) continue;
      if (trim_scpi(std::string_view(line_).substr(begin)).empty()) co_return line;
      ++counters_.garbles;
      co_return fail(Errc::garbled, "more than one line came as the answer", link_.name());
    }
    if (line_.size() > profile_.link.reply_max_bytes) {
      ++counters_.garbles;
      co_return fail(Errc::garbled, "the answer does not end", link_.name());
    }
  }
}

Task<Result<void>> Conversation::quieten() {
  const Instant give_up = machine_.now() + quieten_time_max;
  while (machine_.now() < give_up) {
    const Instant silence = std::min(machine_.now() + quiet_time, give_up);
    Result<std::size_t> came = co_await link_.read(piece_, silence);
    if (came) continue;
    if (came.error().code == Errc::timed_out) co_return Result<void>();
    co_return pass(came);
  }
  co_return fail(Errc::garbled, "the instrument talks without being asked", link_.name(),
                 "check the serial settings, and that no other program uses the line");
}

Task<Result<void>> Conversation::get_in_step(Instant deadline) {
  constexpr std::string_view placeholder = "{n}";
  if (profile_.errors.fence.empty()) co_return Result<void>();
  fence_number_ = fence_number_ < fence_number_max ? fence_number_ + 1 : fence_number_min;
  const std::string number = std::to_string(fence_number_);
  std::string fence = profile_.errors.fence;
  fence.replace(fence.find(placeholder), placeholder.size(), number);
  fence.push_back('\n');
  Result<void> sent = co_await link_.write(fence, deadline);
  if (!sent) co_return sent;
  std::string unread;
  while (true) {
    Result<std::size_t> count = co_await link_.read(piece_, deadline);
    if (!count) co_return pass(count);
    unread.append(piece_.data(), *count);
    for (std::size_t end = unread.find('\n'); end != std::string::npos; end = unread.find('\n')) {
      std::string_view answer = trim_scpi(std::string_view(unread).substr(0, end));
      if (answer.starts_with('+')) answer.remove_prefix(1);
      const bool is_ours = answer == number;
      unread.erase(0, end + 1);
      if (is_ours && trim_scpi(unread).empty()) co_return Result<void>();
    }
    if (unread.size() > profile_.link.reply_max_bytes) {
      co_return fail(Errc::garbled, "the answer does not end", link_.name());
    }
  }
}

}  // namespace leadwright
