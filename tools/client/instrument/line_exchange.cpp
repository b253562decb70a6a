// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument/line_exchange.h"

#include <algorithm>
#include <array>

namespace leadwright {

namespace {

constexpr Second quiet_time{0.05};
constexpr Second quieten_time_max{1.0};
constexpr Second write_time_max{1.0};
/// Some answer a message of several questions in several lines.
constexpr Second next_line_time{0.01};

}  // namespace

Task<Result<void>> await_quiet(Link& link, Clock& machine) {
  std::array<char, 256> piece{};
  const Instant give_up = machine.now() + quieten_time_max;
  while (machine.now() < give_up) {
    const Instant silence = std::min(machine.now() + quiet_time, give_up);
    Result<std::size_t> came = co_await link.read(piece, silence);
    if (came) continue;
    if (came.error().code == Errc::timed_out) co_return Result<void>();
    co_return pass(came);
  }
  co_return fail(Errc::garbled, "something talks there without being asked", link.name(),
                 "is this the instrument's port, and does no other program use it?");
}

Task<Result<void>> tell_line(Link& link, Clock& machine, std::string message) {
  message.push_back('\n');
  link.discard_input();
  Result<void> sent = co_await link.write(message, machine.now() + write_time_max);
  co_return sent;
}

Task<Result<LineAnswer>> ask_line(Link& link, Clock& machine, std::string message, Second patience) {
  Result<void> sent = co_await tell_line(link, machine, std::move(message));
  if (!sent) co_return pass(sent);
  const Instant asked = machine.now();
  const Instant give_up = asked + patience;
  LineAnswer answer;
  std::array<char, 512> piece{};
  while (answer.bytes.size() < line_answer_max) {
    const bool has_line = answer.bytes.ends_with('\n');
    const Instant until = has_line ? std::min(machine.now() + next_line_time, give_up) : give_up;
    Result<std::size_t> count = co_await link.read(piece, until);
    if (count) {
      answer.bytes.append(piece.data(), *count);
      answer.took = machine.now() - asked;
      if (link.message_ended()) co_return answer;
      continue;
    }
    if (count.error().code != Errc::timed_out || answer.bytes.empty()) co_return pass(count);
    answer.is_complete = has_line;
    co_return answer;
  }
  answer.is_complete = false;
  co_return answer;
}

}  // namespace leadwright
