// SPDX-License-Identifier: Apache-2.0
// What a charger does at its posts, apart from its words: constant current up to constant voltage.
#pragma once

#include "tools/benchsim/protection.h"
#include "tools/benchsim/sim_instrument.h"

namespace leadwright {

/// Ranges and accuracy, as a profile declares them.
struct ChargerRating {
  double volts_max = 0.0;
  double amps_max = 0.0;
  double trip_volts_max = 0.0;
  double trip_amps_max = 0.0;
  SimAccuracy volts;
  SimAccuracy amps;
};
/// That of config/profiles/simulated_charger.toml.
constexpr ChargerRating simulated_charger{
    18.0, 40.0, 20.0, 50.0, {0.0005, 0.005, 0.001}, {0.001, 0.010, 0.001}};

class ChargerPart final : public SimPart {
 public:
  ChargerPart(SimInstrument& whole, const ChargerRating& rating);

  const ChargerRating& rating() const { return rating_; }
  double read_volts();
  double read_amps();
  /// As the meter would show them: without rounding, noise and faults.
  double settling_amps() const;

  double set_volts() const { return set_volts_; }
  double set_amps() const { return set_amps_; }
  void set_volts(double volts);
  void set_amps(double amps);
  bool is_on() const { return circuit().on; }
  bool is_tripped() const { return over_amps.is_tripped() || over_volts.is_tripped(); }
  /// False, and nothing happens, if it should go on while it is tripped.
  bool switch_output(bool state);
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
  ChargerCircuit& circuit() { return whole_.posts().charger; }
  const ChargerCircuit& circuit() const { return whole_.posts().charger; }
  void apply();

  SimInstrument& whole_;
  ChargerRating rating_;
  Display volts_;
  Display amps_;
  Meter volts_source_;  // what is really held for a setting
  Meter amps_source_;
  Settling settling_;
  double set_volts_ = 0.0;
  double set_amps_ = 0.0;
  bool was_on_ = false;
};

}  // namespace leadwright
