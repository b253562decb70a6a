// SPDX-License-Identifier: Apache-2.0
// A whole bench in one process on virtual time: the daemon with its real drivers and codecs, simulated
// instruments, simulated batteries, a store in memory, all from one seed. For: rehearsals, benchmarks, tests.
// One thread. The same seed gives the same event log, byte for byte. Read next: trace_rehearsal.h.
#pragma once

#include <array>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "daemon/assembly.h"
#include "daemon/clock/virtual_clock.h"
#include "daemon/store/memory_store.h"
#include "drivers/memory_link.h"
#include "tools/benchsim/benchsim.h"

namespace leadwright {

/// What stands between instruments and posts: nothing, a contactor at each place ("box-1 output 0" and on),
/// or one load for all bays through selectors ("load-1", outputs from 0), or both (isolators first).
enum class Switchgear { none, isolators, shared_load, both };

struct WorldOptions {
  int bays = 1;
  int charging_places = 0;
  /// Of all instruments. Modbus thermometers share one line.
  SimSpeech speech = SimSpeech::scpi;
  std::optional<SimSpeech> chargers;  ///< where they speak something else
  Switchgear switchgear = Switchgear::none;
  /// Box 1 hears a stop button, smoke, gas and airflow at inputs 0 to 3, and has a siren at output 7.
  bool alarms = false;
  bool attended_only = false;  ///< every place
  bool heavy_loads = false;    ///< of the bays: they can draw half the CCA; SCPI only
  bool two_quadrant = false;   ///< one unit is load and charger of each bay
  bool ideal = true;
  bool noise_by_moment = false;  ///< see SimInstrumentOptions
  std::uint64_t seed = 1;
  Second answer_after;        ///< until an instrument's answer comes
  FaultPlan link_faults;      ///< of every link
  std::string config_folder;  ///< holds profiles/, procedures/, policies/, estimator.toml
  WireTap tap;                ///< hears every byte of every link
  bool begun = true;          ///< false: make() starts no daemon, begin() does
  /// What is different from the plain configuration.
  std::function<void(Settings&)> change_settings;
};

class World {
 public:
  /// Fails with the mistakes of the configuration files.
  static tl::expected<std::unique_ptr<World>, std::vector<Error>> make(WorldOptions options);
  ~World();
  World(const World&) = delete;
  World& operator=(const World&) = delete;

  VirtualClock& clock() { return clock_; }
  SimBench& sim() { return *sim_; }
  MemoryStore& store() { return store_; }
  /// Of a line of the simulated bench, by its name.
  Cable& cable(const std::string& line) { return *links_.cable(line); }
  Bench& bench() { return *bench_; }

  /// Ends the daemon as kill -9 would: nothing is said, nothing is switched off. Until restart() there is no
  /// bench().
  void kill();
  /// Starts another daemon on the same instruments and store, and returns at once.
  void begin();
  /// As begin(); returns when every place has connected, or after five minutes.
  void restart();
  bool is_alive() const { return bench_ != nullptr; }
  /// From now on every link behaves by this plan; its seed is not used.
  void change_link_faults(const FaultPlan& plan) { links_.change_plans(plan); }
  /// How often each kind of it was done so far.
  std::array<std::uint64_t, LinkFaults::kinds> link_faults_done() const { return links_.faults_done(); }
  void kill_and_restart() {
    kill();
    restart();
  }

  /// A request as a face would send it; runs the world until the answer comes.
  Response ask(const std::string& verb, const std::string& subject = {}, const std::string& body = {});
  Response ask(Request request);
  /// Acknowledges the cautions at a place and starts its ticket's next work there, or the one named.
  Response start(const std::string& place, const std::string& procedure = {});
  /// Runs until the place has no run. False if that takes longer than `limit`.
  bool finish(const std::string& place, Second limit = hours(120.0));
  /// Exchanges of all instruments so far.
  std::uint64_t exchanges() const;

 private:
  explicit World(WorldOptions options);
  std::vector<Error> read_config();
  void wire_switchgear(Settings& settings);

  WorldOptions options_;
  VirtualClock clock_;
  std::unique_ptr<SimBench> sim_;
  MemoryLinkFactory links_;
  MemoryStore store_;
  std::unique_ptr<Plan> plan_;
  std::unique_ptr<Bench> bench_;
};

/// Where this program's configuration files are: $LEADWRIGHT_CONFIG, or beside the program in an
/// installation, or the source tree that it was built from.
std::string default_config_folder();

}  // namespace leadwright
