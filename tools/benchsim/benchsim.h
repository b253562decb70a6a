// SPDX-License-Identifier: Apache-2.0
// The simulated bench: places with posts and instruments, and batteries that people carry between them.
// For: the program benchsim, `leadwright rehearse`, tests and benchmarks. Owned by whoever owns its clock.
// Thread: that clock's. Never: advances anything by itself; a battery lives up to the moment someone asks.
// Read next: terminals.h, sim_load.h, battery_spec.h, bench_commands.h.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/clock/clock.h"
#include "drivers/memory_link.h"
#include "protocol/result.h"
#include "tools/benchsim/sim_instrument.h"
#include "tools/benchsim/terminals.h"

namespace leadwright {

struct SimBenchOptions {
  int bays = 2;
  int charging_places = 4;
  bool ideal = false;      ///< instruments without error
  std::uint64_t seed = 1;  ///< of the instruments' errors
  Second answer_after;     ///< over memory links: time on the link's clock until an answer comes
};

class SimBench {
 public:
  /// Name of where batteries stand that are clamped to nothing.
  static constexpr std::string_view shelf = "shelf";

  /// `bench` is bench time, also for the scale that the instruments state. Must outlive the bench.
  SimBench(SimBenchOptions options, const Clock& bench);
  ~SimBench();

  /// "bay-1.load", "bay-1.charger", "bay-1.thermometer", ..., "charge-1.charger", "charge-1.thermometer", ...
  std::vector<std::string> instrument_names() const;
  /// Null if there is none of that name.
  SimInstrument* instrument(std::string_view name);
  /// Every instrument as "memory:NAME", each link with these faults and a seed of its own.
  void add_to(MemoryLinkFactory& factory, const FaultPlan& faults = {});

  std::vector<std::string> place_names() const;
  /// Null if there is none of that name.
  Terminals* terminals(std::string_view place);

  /// Clamps a new battery on; its name is "battery-N" unless given. Fails with not_found or conflict (the
  /// place is taken, or the name is).
  Result<std::string> plug(std::string_view place, std::unique_ptr<SimBattery> battery,
                           std::string name = {});
  /// Puts a new battery onto the shelf.
  Result<void> shelve(std::string name, std::unique_ptr<SimBattery> battery);
  /// Carries a battery, given by its name or its place, to a place or to "shelf". Fails as plug does;
  /// carrying it to where it is already is no error.
  Result<void> move(std::string_view from, std::string_view to);
  /// Takes what is clamped there to the shelf.
  Result<void> unplug(std::string_view place) { return move(place, shelf); }

  /// A battery by its name or its place, brought up to now; null if there is none.
  const StandingBattery* battery(std::string_view name_or_place);
  /// "NAME at PLACE: volts, what it is", one for each battery.
  std::vector<std::string> batteries();

 private:
  class Device;
  struct Place;
  struct Standing;
  Place* place_of(std::string_view name);
  Standing* standing(std::string_view name_or_place);
  void add_place(std::string name, bool has_load);
  Standing& take_in(std::string name, std::unique_ptr<SimBattery> battery);
  void live_to_now(Standing& standing);

  SimBenchOptions options_;
  const Clock& bench_;
  std::vector<std::unique_ptr<Place>> places_;
  std::vector<std::unique_ptr<Device>> devices_;
  std::vector<std::unique_ptr<Standing>> batteries_;
  int named_ = 0;
};

}  // namespace leadwright
