// SPDX-License-Identifier: Apache-2.0
// The simulated bench hand of the demo: does with the simulated bench what a person does with a real one,
// through the same HTTP API, and carries the batteries. Never: decides anything that the bench decides.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <vector>

#include "daemon/clock/clock.h"
#include "tools/benchsim/bench_view.h"
#include "tools/benchsim/scenario.h"

namespace leadwright {

/// The hand's two ways to the world. Each gives the answer's body, or why it was refused.
struct HandWorld {
  /// `method`, `path` and JSON body (empty for GET) to the daemon.
  std::function<Result<std::string>(const std::string& method, const std::string& path,
                                    const std::string& body)>
      api;
  /// One line to benchsim.
  std::function<Result<std::string>(const std::string& command)> bench;
  /// A line for whoever watches.
  std::function<void(const std::string& line)> say;
};

class Hand {
 public:
  Hand(HandWorld world, std::vector<ScenarioBattery> batteries)
      : world_(std::move(world)), batteries_(std::move(batteries)) {}

  /// Puts the batteries on the shelf and opens their tickets.
  Result<void> drop_off();
  /// Looks at the bench and does what there is to do now. True once every ticket has a grade. Refusals of the
  /// bench are said and tried again later; a bench that does not answer is an error.
  Result<bool> turn();
  /// The bench as last seen.
  const BenchView& view() const { return view_; }
  /// How many tickets have a grade, of how many.
  std::size_t graded() const;
  std::size_t tickets() const { return serials_.size(); }
  /// The queue, one aligned line a ticket.
  std::vector<std::string> table() const;

 private:
  void tell_changes();
  void answer_questions();
  void carry();
  void start_ready();
  bool is_over() const;
  /// The next procedure that the hand will see to; empty if none.
  std::string next_of(const QueueView& entry) const;
  bool waits(const std::string& key) const;
  bool wants_move(const QueueView& entry, const PlaceView* at) const;
  const PlaceView* free_place(const std::string& kind) const;
  void move(const QueueView& entry, const std::string& to);
  /// True if done; a refusal is said once and rests for some turns.
  bool change(const std::string& what, const std::string& path, const std::string& body);

  HandWorld world_;
  std::vector<ScenarioBattery> batteries_;
  std::map<std::string, const ScenarioBattery*> serials_;  // by ticket
  BenchView view_;
  bool cautions_read_ = false;
  std::map<std::string, std::string> told_;
  // Turns to wait: before a change is made again ("PATH BODY"), and until the snapshot must show what was
  // changed (names of places and tickets).
  std::map<std::string, int> waits_;
};

}  // namespace leadwright
