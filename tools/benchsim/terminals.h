// SPDX-License-Identifier: Apache-2.0
// The two posts of a place: the battery that is clamped there, or none, and what load and charger do to it.
// Owned by SimBench, shared by the instruments of the place. Thread: the bench's. Never: measures (that is
// the instruments' business) and never runs ahead of the time it is asked for. Read next: sim_battery.h,
// sim_load.h.
#pragma once

#include <memory>
#include <optional>
#include <string>

#include "daemon/clock/instant.h"
#include "tools/benchsim/sim_battery.h"

namespace leadwright {

/// A battery and the bench time up to which it has lived.
struct StandingBattery {
  std::string name;
  std::unique_ptr<SimBattery> battery;
  Instant lived_to;
};

/// A limit that switches an instrument off by itself and stays tripped until it is cleared.
template <class T>
struct ProtectionLimit {
  std::optional<T> limit;
  bool tripped = false;
};

struct LoadCircuit {
  bool on = false;
  Ampere draw;
  ProtectionLimit<Volt> cutoff;  ///< low-voltage cut-off
  ProtectionLimit<Ampere> over_amps;
  ProtectionLimit<Volt> over_volts;
  std::optional<Instant> cut_at;  ///< when the cut-off acted last
};

struct ChargerCircuit {
  bool on = false;
  Volt volts;
  Ampere limit;
  ProtectionLimit<Ampere> over_amps;
  ProtectionLimit<Volt> over_volts;
};

class Terminals {
 public:
  LoadCircuit load;
  ChargerCircuit charger;

  /// Clamps a battery on (null: nothing). The caller keeps it alive until it is unclamped.
  void clamp(StandingBattery* battery, Instant now);
  const StandingBattery* battery() const { return battery_; }

  /// Lets everything happen up to `now`: the cut-off acts at the instant of the crossing, whenever that was.
  void settle(Instant now);
  /// To be called after every change of `load` or `charger`, at a settled instant.
  void changed() { apply(); }

  Volt volts() const { return volts_; }
  Ampere load_amps() const { return drawn_; }
  Ampere charger_amps() const { return pushed_; }
  /// Ambient if nothing is clamped on.
  Celsius temperature() const;

 private:
  void apply();
  void solve();
  bool protect();
  void step(Instant now);
  bool below_cutoff(const SimBattery& battery) const;

  StandingBattery* battery_ = nullptr;
  Volt volts_;
  Ampere drawn_;
  Ampere pushed_;
};

}  // namespace leadwright
