// SPDX-License-Identifier: Apache-2.0
// What must hold in every simulated world, whatever fails there. In plain words, with the moment at which
// each is looked at:
//
//  1. freshness: While the daemon lives, current flows through the posts of a place only as long as its
//     meter gave a whole sample within the freshness limit of its profile, one sampling period and the
//     bound of the off path: by then off was said on the wire, unless the plug is out. A dead daemon's
//     current ends by the watchdog of the instrument or of the isolator, where there is one. Looked at
//     after every event of the clock, and at the instant at which it would be broken.
//  2. one_way: Load and charger never both pass current at one place. After every event.
//  3. shouted: Where current flows on for half a minute after off was said, or without anybody having
//     asked for it, the place says so: tripped, or with its problem. A trip ends by the acknowledgement
//     of a named person and by nothing else, over restarts too. A run that tripped leaves its place
//     tripped. After every event.
//  4. kept: What was acknowledged to a person is in the store after a kill: the ticket, that it is
//     closed, the audit row. So is what the bench showed for a minute with a store that works: findings
//     and grades. At every kill and at the end.
//  5. own_run: A grade rests on complete runs of its own ticket alone, and on its own battery, unless a
//     person said that another one was it or no meter could tell. Nothing that a grade rests on was drawing
//     when its daemon died: a discharge is never stitched. At every grade.
//  6. recharged: A battery that tests drew below 75 % and that was not filled since is not handed back
//     or resold. At every closing.
//  7. charge: The ampere-hours of a complete run are those that the battery really gave, to 0.1 % and
//     what flows in two seconds (between switching on and the first sample, three times). Allowed on
//     top: 0.2 % and 20 mA where instruments have the errors of their profiles; 1 % and what flows in 20
//     s where wires or mains fail; 16 As where wires flip digits, of a current that was none. Nothing is
//     promised where meters lie. At every run's end.
//     Of a run that went on after its daemon died: those of both parts, and what flowed unwatched at most,
//     which the run itself must have bounded, also where it was stopped then: what is missing of a charge is
//     no more than it says.
//  8. safe_start: A daemon switches nothing on (no contact either) at a place before it told every
//     instrument there off and read each back. At every byte that switches on.
//  9. same_world: The same seed gives the same event log. By running it twice.
// 10. apart: Two batteries are never joined. After every event.
// 11. converges: When faults have stopped and people do what they are asked, every place is ready again,
//     every ticket goes on, and another run completes and leaves its place ready, within the bound. At the
//     end.
// 12. limits: While the daemon lives and its meter is sound, a load does not draw on a battery below 1.5
//     V a cell for longer than freshness allows. After every event.
// 13. right_one: A run switches nothing on at an instrument that was not the one which this daemon had proved
//     off there, when the run began and ever since: plugs change places. At every byte that switches on.
// 14. gas_gone: A ticket's battery is not drawn on heavily before the gas of its charge has had its time,
//     also by the daemon after the one that charged it. After every event. Nor is it allowed to be
//     unclamped then, unless a person says why it must be. At every such answer.
//
// Owned by one seed's run. Fed with what was seen, by observer.h or by a test. Never: asks the daemon.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "daemon/store/store.h"
#include "tools/simtest_world/wire_ear.h"

namespace leadwright {

struct Violation {
  std::string promise;  ///< its name above
  Instant at;
  std::string what;
};

/// Above 25 A is heavy (daemon/place/gas_off.h), and so far beyond it no 25 A were set.
constexpr Ampere heavy_draw{26.0};

/// One load or charger, or relay box, as the promises know it.
struct WatchedInstrument {
  WireEar::Kind kind = WireEar::Kind::scpi;
  Second fresh{1.0};  ///< stale_ms of its profile
  bool has_watchdog = false;
  Second settles{0.5};  ///< from a new setting until its current must follow
};

/// What is wired to a place, by the names of links. An empty name: none.
struct WatchedPlace {
  std::string load;
  std::string charger;
  std::vector<std::string> boxes;
  bool has_isolator = false;
};

struct EndedRunSeen {
  RunId run{};
  TicketId ticket{};
  RunOutcome outcome = RunOutcome::complete;
  std::string procedure;
  /// The ticket's own battery was clamped on all the time.
  bool own_battery = true;
  /// It was not, but a person said that it was, or no meter could tell.
  bool was_deceived = false;
  bool place_tripped = false;  ///< when the run had ended
  Coulomb recorded{0.0};
  Coulomb given{0.0};            ///< by the battery, in truth
  bool was_cut = false;          ///< its daemon died, and another one went on with it
  bool drew_when_cut = false;    ///< current flowed out of the battery then
  Coulomb unmeasured{0.0};       ///< the most that went in meanwhile, as the run says
  Coulomb allowed{0.0};          ///< by which they may differ; negative: this world can't tell
  Coulomb allowed_watched{0.0};  ///< the same without what flowed unwatched
};

class Promises {
 public:
  void add(const std::string& link, const WatchedInstrument& instrument);
  /// What the bench's settings say.
  void gas_off(Second wait) { gas_off_ = wait; }
  /// After the instruments that it names.
  void add(const std::string& place, const WatchedPlace& wiring);

  void daemon_began(Instant at);
  void daemon_died(Instant at);
  void crossing(const std::string& link, bool outward, std::string_view bytes, Instant at);
  /// The plug is out, or nobody answers there: off can't be said, or need not be obeyed.
  void line_out(const std::string& link, bool is_out, Instant at);
  /// The instrument, or the contact of the place, may not obey its own watchdog: one more reason, or one
  /// less.
  void broken(const std::string& link_or_place, bool is_broken);
  bool is_broken(const std::string& link) const;
  /// Another instrument answers there now (its plug was moved, or it says to be another one): one more
  /// reason, or one less.
  void other_answers(const std::string& link, bool does, Instant at);
  /// A run goes on there since; none: no run does.
  void run_goes_on(const std::string& place, std::optional<Instant> since) {
    places_[place].run_since = since;
  }
  void flows(const std::string& place, Ampere load, Ampere charger, Instant at);
  /// What flows in a ticket's run on its own battery.
  void worked(TicketId ticket, Ampere load, Ampere charger, Instant at);
  /// A person asked to take its battery off its place, without saying why, and was allowed to.
  void unclamped(TicketId ticket, Instant asked_at);
  /// What the place says: its trip, and whether it says that something is wrong.
  void says(const std::string& place, const std::string& trip, bool has_problem, Instant at);
  /// A person was heard to acknowledge the trip of a place.
  void trip_acknowledged(const std::string& place) { places_[place].acknowledged = true; }
  /// A load draws on the battery there below 1.5 V a cell, or no longer.
  void too_low(const std::string& place, bool is_too_low, Instant at);
  void joined(std::size_t times, Instant at);
  /// Nothing else may be known, but time has come.
  void time(Instant at);
  /// The next instant at which time() may break a promise; never() if nothing flows.
  Instant next_due() const;

  /// The store may lose what it was given, from now or no longer.
  void store_fails(bool fails, Instant at);
  /// What it was given long ago is still not stored.
  void store_is_late(Instant at) { store_failed_at_ = at; }
  void acknowledged(const AuditEntry& row) { ++acknowledged_[key(row)]; }
  void ticket_promised(TicketId id, bool closed) { tickets_[id] = tickets_[id] || closed; }
  void shown(const Finding& finding, Instant at);
  void shown(const Grade& grade, Instant at);
  /// What a daemon finds that starts now.
  void kept(const StoredBench& stored, const std::vector<AuditEntry>& audit, Instant at);

  void ended(const EndedRunSeen& run, Instant at);
  void graded(TicketId ticket, const std::vector<Finding>& findings, Instant at);
  void left(TicketId ticket, Closing closing, Coulomb lacks, Coulomb capacity, Instant at);
  void converged(bool has, const std::string& what_is_left, Instant at);

  /// What was heard on a link that was added; null for another one.
  const WireEar* ear(const std::string& link) const {
    const auto found = links_.find(link);
    return found == links_.end() ? nullptr : &found->second.ear;
  }
  const std::vector<Violation>& violations() const { return violations_; }

 private:
  struct Heard {
    WatchedInstrument instrument;
    WireEar ear;
    bool is_out = false;
    int broken = 0;  ///< reasons why it may not obey its watchdog
    Instant back_at = WireEar::long_ago;
    int others = 0;                        ///< reasons why another one answers
    std::optional<Instant> other_since{};  ///< of those; none: the daemon did not know the right one then
  };
  struct Gas {
    bool flows = false;  ///< current still goes in
    std::optional<Instant> since;
    bool was_broken = false;
  };
  struct Side {
    Heard* heard = nullptr;  ///< what lets it flow; null: nothing is watched there
    bool flows = false;
    Instant since = WireEar::long_ago;
  };
  struct Seen {
    WatchedPlace wiring;
    Side load;
    Side charger;
    std::string trip;
    Instant tripped_at;
    std::string trip_at_death;
    bool keeps_trip = false;                      ///< its daemon had shown it so long when it died
    Instant acknowledged_at = WireEar::long_ago;  ///< the last trip: from then on it must be said anew
    std::optional<Instant> low_since;
    std::optional<Instant> run_since;
    bool has_problem = false;
    bool acknowledged = false;
    int broken = 0;
  };
  static std::string key(const AuditEntry& row) { return row.actor + ' ' + row.what + ' ' + row.subject; }
  void broke(const char* promise, Instant at, const std::string& what);
  void check_start(const std::string& link, Instant at);
  void check_right_one(const std::string& link, const Heard& heard, Instant at);
  Heard* heard(const std::string& link);
  void judge(const std::string& name, Seen& seen, Side& side, const std::string& link, Instant at);
  Instant low_due(const Seen& seen) const;
  Instant due(const Seen& seen, const Side& side) const;
  bool has_gas(const Gas& gas, Instant at) const { return gas.since && at < *gas.since + gas_off_; }
  bool must_be_kept(Instant since, Instant at) const;

  Second gas_off_;
  std::map<TicketId, Gas> gas_;
  std::map<std::string, Heard, std::less<>> links_;
  std::map<std::string, Seen, std::less<>> places_;
  bool alive_ = false;
  Instant began_ = WireEar::long_ago;
  Instant died_ = WireEar::long_ago;
  std::size_t joined_ = 0;
  bool store_fails_ = false;
  Instant store_failed_at_ = WireEar::long_ago;  ///< the last instant at which it did
  std::map<std::string, std::size_t> acknowledged_;
  std::map<TicketId, bool> tickets_;  ///< promised; true: closed
  std::map<RunId, EndedRunSeen> runs_;
  std::vector<std::pair<Finding, Instant>> findings_;
  std::vector<std::pair<Grade, Instant>> grades_;
  std::vector<Violation> violations_;
  std::set<std::string> told_;  ///< a promise broken at one place is told once a daemon
};

}  // namespace leadwright
