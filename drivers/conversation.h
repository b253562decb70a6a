// SPDX-License-Identifier: Apache-2.0
// Questions and answers over one link: one outstanding question, one absolute deadline each, and never an
// answer paired with another question. Owned by an Instrument. Thread: control. Never: knows what the words
// mean. Read next: link.h.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>

#include "drivers/latency_histogram.h"
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

class Conversation {
 public:
  Conversation(Link& link, const Profile& profile, Clock& machine, Clock& bench);

  /// One question, ended by its line feed, and its one line of answer without blanks around it. The view is
  /// valid until the next suspension. Ends by `limit` or the profile's timeout, whichever is first, with
  /// timed_out, garbled (not one line, or too long) or link_lost. After a failure the next question waits
  /// until the line is quiet and its fence has answered.
  Task<Result<std::string_view>> ask(std::string_view question, Instant limit = Instant::never());
  /// A command without an answer. If `off_count` is given and off_now() was called since, it is not sent and
  /// fails with stopped.
  Task<Result<void>> tell(std::string_view command, const std::uint64_t* off_count = nullptr);
  /// The off path: synchronous; everything that energises and was not sent yet will not be.
  bool off_now(std::string_view bytes) noexcept;
  std::uint64_t off_count() const { return off_count_; }

  /// Discards what arrives until nothing came for `quiet_time`, at most for `quieten_time_max`.
  Task<Result<void>> quieten();
  /// The link was opened and is quiet: answers may be believed.
  void start() { in_step_ = true; }
  /// The next exchange starts with a fresh line and its fence.
  void distrust() { in_step_ = false; }
  /// Bench time in the middle of the last exchange.
  Instant middle() const { return middle_; }
  const LinkCounters& counters() const { return counters_; }
  void count_retry() { ++counters_.retries; }
  void count_reopening() { ++counters_.reopenings; }

  static constexpr Second quiet_time{0.05};
  static constexpr Second quieten_time_max{1.0};
  // Not the small numbers that a late answer to another question could be.
  static constexpr int fence_number_min = 100;
  static constexpr int fence_number_max = 255;

 private:
  class Turn;
  Task<Result<void>> begin(Instant limit);
  Task<Result<std::string_view>> get_line(Instant deadline);
  Task<Result<void>> get_in_step(Instant deadline);
  Instant deadline_from_now(Instant limit) const;

  Link& link_;
  const Profile& profile_;
  Clock& machine_;
  Clock& bench_;
  Signal turn_free_;
  bool turn_taken_ = false;
  bool in_step_ = true;
  std::string line_;
  std::array<char, 256> piece_{};
  Instant next_message_at_{INT64_MIN};
  Instant middle_;
  std::uint64_t off_count_ = 0;
  int fence_number_ = fence_number_min;
  LinkCounters counters_;
};

}  // namespace leadwright
