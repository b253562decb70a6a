// SPDX-License-Identifier: Apache-2.0
// Questions and answers of one instrument on its line: one outstanding question, deadlines for each part of
// an exchange under one for the whole, and never an answer paired with another question. Owned by an
// Instrument. Thread: control. Never: knows what the words mean. Read next: dialect.h, line.h.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>

#include "drivers/dialect.h"
#include "drivers/latency_histogram.h"
#include "drivers/line.h"
#include "drivers/link.h"
#include "drivers/profile.h"

namespace leadwright {

struct LinkCounters {
  std::uint64_t exchanges = 0;
  std::uint64_t retries = 0;
  std::uint64_t time_outs = 0;
  std::uint64_t garbles = 0;
  std::uint64_t reopenings = 0;
  LatencyHistogram replies;  ///< of the exchanges that were answered
};

/// Keeps a message that energises from going out after the off path went: nothing is sent once the count has
/// moved on from what it was.
struct OffGuard {
  const std::uint64_t* count = nullptr;
  std::uint64_t seen = 0;
  bool went() const { return count != nullptr && *count != seen; }
};

class Conversation {
 public:
  Conversation(std::shared_ptr<Line> line, const Profile& profile, std::unique_ptr<Dialect> dialect,
               Clock& machine, Clock& bench);
  ~Conversation();
  Conversation(const Conversation&) = delete;
  Conversation& operator=(const Conversation&) = delete;

  /// Opens the line, or joins those who have, and waits until nothing comes any more.
  Task<Result<void>> open(Instant deadline);
  bool is_open() const;
  void close() noexcept;
  /// The link is dead: closed for everybody on it.
  void drop() noexcept;

  /// One question and its answer. The view is valid until the next suspension. Ends by `limit` or the
  /// profile's timeout, whichever is first, with timed_out, garbled, link_lost, or what the device's
  /// exception means. After a failure the next exchange waits until the line is quiet and the fence has been
  /// answered.
  Task<Result<std::string_view>> ask(std::string_view message, Instant limit = Instant::never());
  /// A command; where the dialect answers commands, the answer is waited for. Not sent, and fails with
  /// stopped, if the off path went meanwhile.
  Task<Result<void>> tell(std::string_view message, OffGuard off = {});
  /// The off path: synchronous. True if the kernel took the bytes, or surely will within urgent_within().
  bool urgent(std::string_view bytes) noexcept;
  Second urgent_within() const;

  /// Bytes of the off path, for the whole safe sequence or one message.
  std::string off_bytes() const { return dialect_->off_bytes(profile_); }
  std::string off_bytes(std::string_view message) const { return dialect_->off_bytes(message); }

  /// The next exchange starts with the fence.
  void distrust() { in_step_ = false; }
  /// Passes instruments that are not, where the line is shared.
  void set_energised(bool energised) { energised_ = energised; }
  /// Bench time in the middle of the last exchange.
  Instant middle() const { return middle_; }
  const LinkCounters& counters() const { return counters_; }
  void count_retry() { ++counters_.retries; }
  Link& link() { return line_->link(); }
  const Link& link() const { return line_->link(); }

  static constexpr Second quiet_time{0.05};
  static constexpr Second quieten_time_max{1.0};

 private:
  class Exchange;
  Task<Result<void>> begin(Instant limit);
  /// Discards what arrives until nothing came for as long as answers take here, `quiet_time` at least; at
  /// most for `quieten_time_max`.
  Task<Result<void>> quieten();
  Task<Result<void>> get_in_step(Instant deadline);
  /// Sends `message` and waits for its answer, for as long as `hear` wants more.
  Task<Result<std::string_view>> exchange(std::string_view message, Instant deadline, bool is_fence);
  Task<Result<std::string_view>> await_answer(std::string_view message, Instant deadline, bool is_fence);
  Task<Result<void>> put(std::string_view message, Instant deadline);
  Error garbled(const char* why);
  /// Fails with busy if somebody's off path waits for our turn to end.
  Result<void> may_go_on() const;
  Instant within(Second time, Instant limit) const { return std::min(machine_.now() + time, limit); }

  std::shared_ptr<Line> line_;
  const Profile& profile_;
  std::unique_ptr<Dialect> dialect_;
  Clock& machine_;
  Clock& bench_;
  unsigned opening_ = 0;  ///< of the line that we joined; 0: none
  bool was_open_ = false;
  bool in_step_ = true;
  bool energised_ = false;
  std::string lost_;  ///< the message whose answer did not come
  std::string wire_;
  std::string came_;
  std::array<char, 512> piece_{};
  Instant middle_;
  LinkCounters counters_;
};

}  // namespace leadwright
