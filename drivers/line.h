// SPDX-License-Identifier: Apache-2.0
// One link and those who share it: several instruments on one RS-485 line, or a single one on its own. Gives
// turns, fairly, the energised first; keeps the silence between messages; lets the off path pass everybody.
// Shared by the conversations on it. Thread: control. Never: knows what the bytes mean. Read next:
// conversation.h (who takes turns), link.h.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "drivers/link.h"

namespace leadwright {

class Line {
 public:
  Line(std::unique_ptr<Link> link, Clock& machine);

  Link& link() { return *link_; }
  const Link& link() const { return *link_; }

  /// Opens the link unless somebody on the line has; waits while somebody does. After it the caller counts as
  /// a user of this opening.
  Task<Result<void>> join(Instant deadline);
  /// The caller is no user any more; the last one closes the link.
  void leave() noexcept;
  /// The link is dead: closed for everybody.
  void drop() noexcept;
  /// Counts openings: a user whose number differs must join again.
  unsigned opening() const { return opening_; }

  /// The right to one exchange. Given back by destruction.
  class Turn {
   public:
    Turn() = default;
    explicit Turn(Line& line) : line_(&line) {}
    Turn(Turn&& other) noexcept : line_(std::exchange(other.line_, nullptr)) {}
    Turn& operator=(Turn&& other) noexcept {
      std::swap(line_, other.line_);
      return *this;
    }
    ~Turn() {
      if (line_ != nullptr) line_->give_back();
    }

   private:
    Line* line_ = nullptr;
  };
  /// Waits for those who asked before; who is `energised` passes those who are not. Fails with timed_out.
  Task<Result<Turn>> take(Instant deadline, bool energised);
  /// As take(), if nobody has the line or waits for it.
  bool is_free() const { return !taken_ && waiting_.empty(); }
  Turn take_free();

  /// The off path. On a half-duplex line an exchange under way is waited for, by its own deadline at most,
  /// with the line held against everybody else. See Link::urgent. `bytes` must stay valid until they are out,
  /// or forgotten.
  bool urgent(std::string_view bytes, bool half_duplex) noexcept;
  /// Who has the turn sends nothing more: it ends, so that the off path waits for one frame and not for all
  /// that a turn may send.
  bool urgent_waits() const { return !urgent_.empty(); }
  /// Bytes that still wait go out now: their owner ends.
  void flush_urgent(std::string_view bytes) noexcept;
  /// The longest that urgent bytes may wait.
  Second urgent_within(Second exchange_max) const;
  /// Machine time before which no message may go out.
  Instant silent_until() const { return silent_until_; }
  void keep_silent_until(Instant at) { silent_until_ = at; }
  /// Bytes of an exchange that failed may still come: the next one waits for silence first.
  bool is_dirty() const { return dirty_; }
  void set_dirty(bool dirty) { dirty_ = dirty; }

  /// Silence that ends an urgent message on a half-duplex line, and its answer.
  static constexpr Second urgent_spacing{0.05};

 private:
  struct Waiting;
  void give_back() noexcept;
  void pass_on() noexcept;
  void await_silence_for_urgent() noexcept;
  void send_urgent() noexcept;

  std::unique_ptr<Link> link_;
  Clock& machine_;
  Signal changed_;
  Timer urgent_timer_;
  std::vector<Waiting*> waiting_;
  std::vector<std::string_view> urgent_;  // capacity for every user, so that the off path allocates nothing
  bool taken_ = false;
  bool opening_now_ = false;
  bool dirty_ = false;
  unsigned opening_ = 0;
  int users_ = 0;
  Instant silent_until_{INT64_MIN};
};

}  // namespace leadwright
