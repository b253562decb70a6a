// SPDX-License-Identifier: Apache-2.0
// The people of a bench with one battery: they write its ticket, carry it to where the bench wants it, start
// what comes next, answer what is asked, ask for more where a grade is not enough, and hand it back. They do
// what they are asked, without mistakes, when they are there and have noticed. They know what the page shows
// them, never the truth. Owned by one rehearsal. Thread: its world's. Read next: rehearsal.h.
#pragma once

#include <deque>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/grading/policy.h"
#include "tools/benchsim/sim_random.h"
#include "tools/rehearse/world.h"
#include "tools/returns/return_case.h"
#include "tools/returns/return_visit.h"

namespace leadwright {

struct VisitPlan {
  /// The whole work, in this order; empty: what the bench itself plans, and what a grade asks for besides.
  std::vector<std::string> procedures;
  bool consented = false;  ///< to a complete discharge, where somebody asks
};

class CounterHand {
 public:
  /// The world's daemon must judge by this policy. All must outlive the hand.
  CounterHand(World& world, const ReturnCase& one, const People& people, const Policy& policy,
              VisitPlan plan);
  ~CounterHand();
  CounterHand(const CounterHand&) = delete;
  CounterHand& operator=(const CounterHand&) = delete;

  /// From the counter to the counter, or to the time cap.
  ReturnVisit handle();

 private:
  struct Act {
    enum class Kind { none, answer, untrip, move, start, leave } kind = Kind::none;
    std::string place;      ///< where to, or where
    std::string procedure;  ///< to start
  };

  void drop_off();
  /// What the bench has told in the end.
  void take_down(const TicketFile& file);
  Act due();
  Act due_at_place(const Place& at) const;
  void perform(const Act& act);
  void answer(const Place& at);
  void move(const std::string& to);
  void start(const std::string& place, const std::string& procedure);
  /// The bench did not begin what was asked for: a wish is dropped, the plan's work is tried again some
  /// times.
  void refused(const std::string& why);
  void leave();
  void unclamp();
  /// Of all places, while nothing runs there.
  void look_every(Second period);
  /// Until something at its place changes, or that moment comes.
  void wait(Instant until);
  /// Until a person has noticed and is there.
  void come();
  void take(Second time);
  void run_ended(const RunResult& result);
  void count_energy(const Trace& trace);

  std::optional<Work> next_for(const TicketFile& file);
  void wish_for_more(const TicketFile& file);
  void prepare_wish(const TicketFile& file);
  /// The owner's consent goes with its start.
  bool procedure_needs_word(std::string_view procedure) const;
  bool may_move(const Place* at) const;
  /// While it is left alone to see whether it keeps its charge; never without such a stand.
  Instant stands_until() const;
  std::string place_for(PlaceKind kind) const;
  void give_up(const std::string& why);

  TicketFile& file() const { return *world_.bench().ledger().find_shown(ticket_); }
  const Place* at() const { return world_.bench().place(file().ticket.place); }
  Instant now() const { return world_.clock().now(); }
  Second since_arrival() const { return now() - began_; }

  World& world_;
  const ReturnCase& one_;
  const People& people_;
  const Policy& policy_;
  VisitPlan plan_;
  SimRandom random_;
  ReturnVisit visit_;
  Instant began_;
  std::string ticket_;
  std::deque<std::string> wishes_;  ///< procedures that a person wants, the next first
  bool wished_for_minutes_ = false;
  int asked_again_ = 0;    ///< after an undecided grade
  int prepared_ = 0;       ///< how often a wish needed a charge or a rest first
  int refused_ = 0;        ///< starts since a run last began
  bool is_there_ = false;  ///< a person has just acted at its place
  bool is_done_ = false;
  std::optional<Instant> cautions_until_;
  bool is_clamped_ = false;
  std::shared_ptr<Ohm> contact_ = std::make_shared<Ohm>();
  char letter_ = ' ';  ///< of the newest grade
};

}  // namespace leadwright
