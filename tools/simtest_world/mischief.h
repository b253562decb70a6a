// SPDX-License-Identifier: Apache-2.0
// What strikes one world from outside: cables, instruments, mains, batteries, store, boxes, room. Strikes
// come at random by the shape of the world, last for a while and heal by themselves, or all at once by
// mend_all(). Owned by one seed's run. Never: ends the daemon (the run does, when asked).
#pragma once

#include <functional>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "tools/simtest_world/crew.h"
#include "tools/simtest_world/promises.h"

namespace leadwright {

class Mischief {
 public:
  Mischief(World& world, const WorldShape& shape, Crew& crew, Promises& promises, Tally& tally);

  std::function<void(const std::string& line)> note;
  /// The daemon is to be killed now, and started again after this time.
  std::function<void(Second dead_for)> on_kill;

  /// The next instant at which something strikes or heals.
  Instant next() const;
  /// Lets happen what is due.
  void turn();
  /// No more strikes; everything heals now.
  void mend_all();
  /// Another instrument answers on this line: its plug changed places.
  bool is_swapped(const std::string& line) const { return !swapped_.empty() && swapped_.contains(line); }

 private:
  struct Healing {
    Instant at;
    std::function<void()> heal;
  };
  void strike(const FaultName& name);
  bool strike_cable(const std::string& name);
  bool strike_instrument(const std::string& name);
  bool strike_mains(const std::string& name);
  bool strike_battery(const std::string& name);
  bool strike_store(const std::string& name);
  void apply_store_plan();
  bool kill();
  bool strike_box(const std::string& name);
  bool strike_room(const std::string& name);
  void heal_in(Second mean, std::function<void()> heal);
  void heal_after(Second wait, std::function<void()> heal);
  /// Where work is going on, for most strikes: there they hurt.
  std::string busy_place();
  std::string some_instrument();
  bool tells_apart(const std::string& line, const std::string& other) const;
  std::string line_of(const std::string& instrument) const;
  Instant now() const { return world_.clock().now(); }

  World& world_;
  const WorldShape& shape_;
  Crew& crew_;
  Promises& promises_;
  Tally& tally_;
  Dice dice_;
  std::map<FaultName, Instant> due_;
  std::vector<Healing> healings_;
  std::set<std::string> swapped_;
  std::multiset<std::string> store_;  ///< what is wrong with the store now
};

}  // namespace leadwright
