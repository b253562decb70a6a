// SPDX-License-Identifier: Apache-2.0
// What a hand does to one line: faults placed exactly on its messages, the plug pulled and put back, the port
// taken by somebody else. For: memory links, the wires of the simulated bench, the tests that handle them;
// the probabilities of a FaultPlan stand beside it. Owned by a MemoryLinkFactory or a simulated line. Thread:
// control. Never: draws anything but the bytes of rubbish, and those always the same. Read next:
// memory_link.h.
#pragma once

#include <cstdint>
#include <deque>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/clock/instant.h"
#include "daemon/quantities/quantity.h"

namespace leadwright {

/// One fault of messages on a line: by default of the next answer. The makers and what may follow them read
/// as one sentence: CableFault::late(Second(0.5)).in_a_row(3).after(2).
struct CableFault {
  enum class Kind { lost, late, truncated, dropped, doubled, split, flipped, rubbish, endless };

  static CableFault lost() { return {Kind::lost}; }
  /// Comes `time` later, whatever is asked meanwhile. Answers only.
  static CableFault late(Second time) { return {Kind::late, time}; }
  /// Without its last `count` bytes.
  static CableFault truncated(int count) { return {Kind::truncated, Second(0.0), count}; }
  /// Without byte `byte`, counted from its first, around its end.
  static CableFault dropped(int byte) { return {Kind::dropped, Second(0.0), byte}; }
  /// Comes twice.
  static CableFault doubled() { return {Kind::doubled}; }
  /// Comes in `count` pieces, `time` apart.
  static CableFault split(int count, Second time) { return {Kind::split, time, count}; }
  /// With bit `bit` of it inverted, counted from its first byte's lowest, around its end.
  static CableFault flipped(int bit) { return {Kind::flipped, Second(0.0), bit}; }
  /// `count` random bytes come instead.
  static CableFault rubbish(int count) { return {Kind::rubbish, Second(0.0), count}; }
  /// Comes without its last byte and then goes on with digits until the line is mended or closed. Answers
  /// only.
  static CableFault endless() { return {Kind::endless, Second(0.01), 16}; }

  /// Strikes `n` messages in a row; 0: until the line is mended.
  CableFault in_a_row(int n) const;
  /// Lets `n` messages pass first, whatever strikes those.
  CableFault after(int n) const;
  /// Strikes what goes to the instrument.
  CableFault of_questions() const;

  Kind kind = Kind::lost;
  Second time{0.0};
  int count = 0;
  int times = 1;
  int skip = 0;
  bool strikes_questions = false;
};
const char* word(CableFault::Kind kind);

class Cable {
 public:
  /// Told what happens to the plug.
  class User {
   public:
    virtual ~User() = default;
    virtual void pulled() = 0;
    virtual void put_back() {}
    virtual void taken(bool /*by_another*/) {}
  };

  Cable() = default;
  Cable(const Cable&) = delete;
  Cable& operator=(const Cable&) = delete;

  /// Each message is struck by one fault: of those that are due, the one that was told first.
  void strike(const CableFault& fault);
  /// Forgets all faults, ends an endless answer, puts the plug back, frees the port.
  void mend();

  /// Closes what runs over it; until `until` it can't be opened.
  void pull(Instant until = Instant::never());
  void put_back();
  bool is_out(Instant now) const { return now < out_until_; }
  /// Somebody else has the port open, until release() or mend().
  void take() { set_taken(true); }
  void release() { set_taken(false); }
  bool is_taken() const { return is_taken_; }

  /// Messages pass unchanged.
  bool is_quiet() const { return faults_.empty(); }
  /// An endless answer goes on.
  bool is_babbling() const { return is_babbling_; }

  struct Piece {
    std::string bytes;
    Second after;        ///< from now
    Second again_every;  ///< more than 0: again and again while the cable babbles
  };
  /// What becomes of a message, appended to `pieces` in the order of their coming.
  void pass(std::string_view message, bool is_question, std::vector<Piece>& pieces);

  void add(User& user) { users_.push_back(&user); }
  void remove(User& user) { std::erase(users_, &user); }

 private:
  const CableFault* due(bool is_question);
  std::string rubbish(int count);
  void set_taken(bool taken);

  std::deque<CableFault> faults_;
  CableFault struck_;
  std::vector<User*> users_;
  Instant out_until_{INT64_MIN};
  bool is_babbling_ = false;
  bool is_taken_ = false;
  std::uint64_t random_ = 1;
};

}  // namespace leadwright
