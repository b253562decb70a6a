// SPDX-License-Identifier: Apache-2.0
// Sees what truly happens in a world and tells the promises: the posts, the wire, the plugs, what places say,
// what people are told, what runs recorded and what batteries gave. Owned by one seed's run. Looks after
// every event of the clock. Never: changes anything.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "tools/simtest_world/crew.h"
#include "tools/simtest_world/mischief.h"
#include "tools/simtest_world/promises.h"
#include "tools/simtest_world/reactions.h"

namespace leadwright {

class Observer {
 public:
  Observer(World& world, const WorldShape& shape, Crew& crew, Mischief& mischief, Promises& promises,
           Tally& tally);

  void daemon_began();
  /// Before the kill, and after it.
  void daemon_dies();
  void daemon_died();
  void look();
  void requested(const Request& request);
  void answered(const Answered& answered);
  void crossing(const std::string& link, bool outward, std::string_view bytes, Instant at);

  /// Complete runs of a battery's ticket that left their place as sound as it was.
  int completed(const std::string& battery) const;

 private:
  /// What was true when a run was seen to go on.
  struct Going {
    RunId run{};
    bool was_cut = false;  ///< its daemon died, and another one went on with it
    bool drew_when_cut = false;
    Second unwatched;     ///< meanwhile, until it was seen again
    std::string battery;  ///< clamped on then
    TicketId ticket{};
    Coulomb given{0.0};  ///< by it, until then
    bool own = false;
    bool no_meter_could_tell = false;
    bool exchanged = false;
    bool replaced = false;  ///< by another battery, while no daemon lived
    Ampere peak;
    Instant since;
  };
  struct Spot {
    std::string name;
    Terminals* posts = nullptr;
    const Place* place = nullptr;  ///< of the daemon that lives now
    Ampere load;
    Ampere charger;
    // What the promises were told last.
    bool is_too_low = false;
    std::string trip;
    bool has_problem = false;
    Going going;
    Going cut;    ///< what went on when the daemon died
    Going ended;  ///< since; its end may be what the store loses
    Instant died_at;
    bool drew = false;                ///< then
    std::optional<TicketId> gassing;  ///< whose battery the charger here still charges, with a run or without
  };
  struct Plug {
    std::string line;
    const Cable* cable = nullptr;
    bool was_out = false;
  };
  void look_at_plugs();
  void tell_wiring(SimBench& sim);
  void look_at(Spot& spot, bool settled);
  /// Current goes in no longer: what was charged here ended, whoever ended it.
  void end_of_charge(Spot& spot);
  void hear(Spot& spot);
  void look_at_run(Spot& spot);
  /// A meter could tell that battery from the one that was expected.
  bool can_tell(const std::string& battery, const std::optional<ExpectedVolts>& expected);
  /// It was seen under the daemon before this one.
  void go_on(Spot& spot, const RunExecution& run);
  /// That battery is the one that the run is on.
  void stands(Going& going, const std::string& battery, const RunExecution& run);
  void run_ended(const Place& place, const RunResult& result);
  Coulomb allowance(const Going& going, Coulomb given) const;
  Coulomb given(const std::string& battery) const;
  void arm(Instant due);

  World& world_;
  const WorldShape& shape_;
  Crew& crew_;
  Mischief& mischief_;
  Promises& promises_;
  Tally& tally_;
  Reactions reactions_;
  std::vector<Spot> spots_;
  std::vector<Plug> plugs_;
  std::map<TicketId, Utc> graded_at_;
  std::map<std::string, int> completed_;
  std::map<std::string, std::set<TicketId>> worked_on_;  ///< by battery: tickets whose runs it was in
  Instant store_idle_at_;                                ///< had nothing to write
  Timer due_;
  Instant armed_ = Instant::never();
};

}  // namespace leadwright
