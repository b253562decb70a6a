// SPDX-License-Identifier: Apache-2.0
// The two posts of a place: the battery that is clamped there, or none, and what load and charger do to it.
// Owned by SimBench, shared by the instruments of the place. Thread: the bench's. Never: measures (that is
// the instruments' business) and never runs ahead of the time it is asked for. Read next: sim_battery.h,
// load_part.h, contacts.h (what may stand between the posts and the battery).
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
  std::optional<Instant> off_at;  ///< when it switches off by itself unless somebody is heard before
  bool expired = false;           ///< it did
  Ampere draw;
  ProtectionLimit<Volt> cutoff;  ///< low-voltage cut-off
  ProtectionLimit<Ampere> over_amps;
  ProtectionLimit<Volt> over_volts;
  std::optional<Instant> cut_at;  ///< when the cut-off acted last
};

struct ChargerCircuit {
  bool on = false;
  std::optional<Instant> off_at;  ///< when it switches off by itself unless somebody is heard before
  bool expired = false;           ///< it did
  Volt volts;
  Ampere limit;
  ProtectionLimit<Ampere> over_amps;
  ProtectionLimit<Volt> over_volts;
};

/// What may happen to posts while nobody asks for them: a contact opens, another battery is joined.
class Surroundings {
 public:
  virtual ~Surroundings() = default;
  /// Lets it happen, in its order, up to `now`.
  virtual void live_to(Instant now) = 0;
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
  /// As settle(), without asking the surroundings, who call it.
  void live_to(Instant now);
  /// To be called after every change of `load` or `charger`, at a settled instant.
  void changed() { apply(); }

  Volt volts() const { return volts_; }
  Ampere load_amps() const { return drawn_; }
  Ampere charger_amps() const { return pushed_; }
  /// Ambient if nothing is clamped on.
  Celsius temperature() const;

  /// Null: nothing can happen around them.
  void set_surroundings(Surroundings* surroundings) { surroundings_ = surroundings; }
  /// An open contactor between posts and battery, which lives on behind it. At a settled instant.
  void isolate(bool is_isolated);
  bool is_isolated() const { return is_isolated_; }
  /// A battery that load and charger reach.
  const SimBattery* within_reach() const { return has_way() ? battery_->battery.get() : nullptr; }
  /// What flows out of the battery into others that are joined to it. At a settled instant.
  void exchange(Ampere discharge);

 private:
  bool has_way() const { return battery_ != nullptr && !is_isolated_; }
  void live_undisturbed(Instant now);
  Instant next_expiry() const;
  void expire(Instant now);
  void apply();
  void solve();
  bool protect();
  void step(Instant now);
  bool below_cutoff(const SimBattery& battery) const;

  StandingBattery* battery_ = nullptr;
  Surroundings* surroundings_ = nullptr;
  bool is_isolated_ = false;
  Ampere exchange_;
  Volt volts_;
  Ampere drawn_;
  Ampere pushed_;
};

}  // namespace leadwright
