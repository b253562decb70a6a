// SPDX-License-Identifier: Apache-2.0
// What an electronic load does at its posts, apart from its words: constant current down to its cut-off.
#pragma once

#include "tools/benchsim/protection.h"
#include "tools/benchsim/sim_instrument.h"

namespace leadwright {

/// Ranges and accuracy, as a profile declares them.
struct LoadRating {
  double amps_max = 0.0;
  double trip_amps_max = 0.0;
  double volts_max = 0.0;
  SimAccuracy volts;
  SimAccuracy amps;
};
/// That of config/profiles/simulated_load.toml.
/// For half the CCA of any starter battery; its ammeter is as good in its own range.
constexpr LoadRating simulated_heavy_load{600.0, 660.0, 60.0, {0.0003, 0.003, 0.001}, {0.0005, 0.030, 0.010}};
constexpr LoadRating simulated_load{100.0, 110.0, 60.0, {0.0003, 0.003, 0.001}, {0.0005, 0.005, 0.001}};

class LoadPart final : public SimPart {
 public:
  LoadPart(SimInstrument& whole, const LoadRating& rating);

  const LoadRating& rating() const { return rating_; }
  double read_volts();
  double read_amps();
  /// As the meter would show them: without rounding, noise and faults.
  double settling_amps() const;

  double set_amps() const { return set_amps_; }
  void set_amps(double amps);
  /// Volts at which it switches off by itself; 0: none.
  double cutoff() const { return circuit().cutoff.limit.value_or(Volt(0.0)).si(); }
  void set_cutoff(double volts);
  bool cutoff_tripped() const { return circuit().cutoff.tripped; }
  void clear_cutoff() { circuit().cutoff.tripped = false; }
  bool is_on() const { return circuit().on; }
  bool is_tripped() const;
  /// False, and nothing happens, if it should go on while it is tripped.
  bool switch_input(bool state);
  /// It goes off by itself at this instant; nothing: it doesn't.
  void switch_off_at(std::optional<Instant> instant) { circuit().off_at = instant; }
  /// It did so, and was not forgiven since.
  bool is_expired() const { return circuit().expired; }
  void forgive() { circuit().expired = false; }

  Protection over_amps;
  Protection over_volts;

  void reset() override;
  void mains_lost() override;
  void mains_back() override;
  void faults_changed() override;
  void move(Terminals& from, Terminals& to) override;

 private:
  LoadCircuit& circuit() { return whole_.posts().load; }
  const LoadCircuit& circuit() const { return whole_.posts().load; }
  void apply();

  SimInstrument& whole_;
  LoadRating rating_;
  Display volts_;
  Display amps_;
  Meter source_;  // what is really drawn for a setting
  Settling settling_;
  double set_amps_ = 0.0;
  bool was_on_ = false;
};

}  // namespace leadwright
