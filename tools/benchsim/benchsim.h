// SPDX-License-Identifier: Apache-2.0
// The simulated bench: places with posts and instruments, and batteries that people carry between them.
// For: the program benchsim, `leadwright rehearse`, tests and benchmarks. Owned by whoever owns its clock.
// Thread: that clock's. Never: advances anything by itself; a battery lives up to the moment someone asks.
// Read next: terminals.h, sim_instrument.h, contacts.h, battery_spec.h, bench_commands.h.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/clock/clock.h"
#include "drivers/memory_link.h"
#include "protocol/result.h"
#include "tools/benchsim/contacts.h"
#include "tools/benchsim/relay_box.h"
#include "tools/benchsim/sim_instrument.h"
#include "tools/benchsim/sim_line.h"
#include "tools/benchsim/terminals.h"

namespace leadwright {

/// What the instruments of one role speak; `none`: the places have none of their own.
enum class SimSpeech { none, scpi, modbus };

struct SimBenchOptions {
  int bays = 2;
  int charging_places = 4;
  bool ideal = false;      ///< instruments without error
  std::uint64_t seed = 1;  ///< of the instruments' errors
  Second answer_after;     ///< over memory links: time on the link's clock until an answer comes

  SimSpeech loads = SimSpeech::scpi;         ///< of the bays
  SimSpeech chargers = SimSpeech::scpi;      ///< of all places
  SimSpeech thermometers = SimSpeech::scpi;  ///< of all places
  bool heavy_loads = false;                  ///< of the bays, where they speak SCPI: up to 600 A
  /// The bays have one two-quadrant unit (SCPI) instead of load and charger.
  bool two_quadrant = false;
  /// One Modbus thermometer "thermometer" with a channel for each place, in their order, instead.
  bool one_thermometer = false;
  int shared_loads = 0;     ///< "load-1", ...: on no place until a selector puts them there; see wire()
  int shared_chargers = 0;  ///< "charger-1", ...
  SimSpeech shared = SimSpeech::scpi;
  int relay_boxes = 0;  ///< "box-1", ...: Modbus, eight outputs, eight inputs
  /// Modbus instruments that are units 1, 2, ... of one RTU line, in their order: none (each has its line and
  /// is unit 1 there), the thermometers (line "thermometers"), or all of them (line "bus").
  enum class SharedLine { none, thermometers, all } shared_line = SharedLine::none;
  /// Machine time that ends an RTU frame. Pseudo-terminals need more than memory links.
  Second rtu_silence{0.0015};
  bool noise_by_moment = false;  ///< see SimInstrumentOptions
};

class SimBench {
 public:
  /// Name of where batteries stand that are clamped to nothing.
  static constexpr std::string_view shelf = "shelf";

  /// `bench` is bench time, also for the scale that the instruments state. Must outlive the bench.
  SimBench(SimBenchOptions options, const Clock& bench);
  ~SimBench();

  /// "bay-1.load", "bay-1.charger", "bay-1.thermometer", ..., "charge-1.charger", "charge-1.thermometer",
  /// ..., "bay-1.two_quadrant", "thermometer", "load-1", "charger-1", "box-1", ...
  std::vector<std::string> instrument_names() const;
  /// Null if there is none of that name.
  SimInstrument* instrument(std::string_view name);
  RelayBox* relay_box(std::string_view name);

  /// Lines bear the name of their instrument, "thermometers" or "bus". A Modbus line NAME is RTU, and its
  /// units are reached by TCP over NAME.tcp as well.
  const std::vector<std::unique_ptr<SimLine>>& lines() const { return lines_; }
  /// Null if there is none of that name.
  SimLine* line(std::string_view name);
  struct Address {
    std::string line;
    int unit = 1;  ///< Modbus
  };
  /// Where an instrument was plugged in when the bench was built.
  std::optional<Address> address(std::string_view instrument) const;
  /// The plugs of two lines change places. Fails with not_found.
  Result<void> swap_lines(std::string_view one, std::string_view other);
  /// Every line as "memory:NAME", each link with these faults and a seed of its own, and with the line's
  /// cable.
  void add_to(MemoryLinkFactory& factory, const FaultPlan& faults = {});

  /// Wires a normally open output of a relay box: "box-1.0 isolates bay-1" puts it in series with the battery
  /// of a place; "box-1.1 connects load-1 to charge-1" lets it put a shared instrument onto a place that has
  /// none of that kind itself. Outputs count from 0, as their coils. Fails with bad_input, not_found or
  /// conflict.
  Result<void> wire(std::string_view sentence);
  /// Every time that batteries at several places were joined through selectors.
  const std::vector<JoinedPlaces>& joined() const { return contacts_.joined(); }

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
  struct Place;
  struct Standing;
  struct Equipped;
  class Builder;
  Place* place_of(std::string_view name);
  Standing* standing(std::string_view name_or_place);
  Equipped* equipped(std::string_view instrument) const;
  Result<SimContact> contact(std::string_view output);
  Result<void> wire_isolator(SimContact contact, std::string_view place);
  Result<void> wire_selector(SimContact contact, std::string_view instrument, std::string_view place);
  Standing& take_in(std::string name, std::unique_ptr<SimBattery> battery);
  void live_to_now(Standing& standing);

  SimBenchOptions options_;
  const Clock& bench_;
  Contacts contacts_;
  Terminals nowhere_;
  std::vector<std::unique_ptr<Place>> places_;
  std::vector<std::unique_ptr<Equipped>> instruments_;
  std::vector<std::unique_ptr<ModbusServer>> servers_;
  std::vector<std::unique_ptr<SimLine>> lines_;
  std::vector<std::unique_ptr<Standing>> batteries_;
  int named_ = 0;
};

}  // namespace leadwright
