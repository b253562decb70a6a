// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/load_part.h"

#include <algorithm>
#include <utility>

namespace leadwright {

LoadPart::LoadPart(SimInstrument& whole, const LoadRating& rating)
    : over_amps(
          whole, rating.trip_amps_max, [this]() -> auto& { return circuit().over_amps; }),
      over_volts(
          whole, rating.volts_max, [this]() -> auto& { return circuit().over_volts; }),
      whole_(whole),
      rating_(rating),
      volts_(whole, rating.volts, rating.volts_max),
      amps_(whole, rating.amps, rating.amps_max),
      source_(whole.meter(rating.amps)),
      settling_(whole) {
  whole.add(*this);
}

double LoadPart::read_volts() {
  return volts_.show(whole_.posts().volts().si());
}

double LoadPart::settling_amps() const {
  const Ampere drawn = whole_.posts().load_amps();
  return drawn.si() + settling_.left(drawn);
}

double LoadPart::read_amps() {
  return amps_.show(settling_amps());
}

void LoadPart::set_amps(double amps) {
  if (whole_.has_fault(SimFault::ignores_off) && amps < set_amps_) return;
  set_amps_ = amps;
  apply();
}

void LoadPart::set_cutoff(double volts) {
  circuit().cutoff.limit = volts > 0.0 ? std::optional<Volt>(Volt(volts)) : std::nullopt;
  whole_.posts().changed();
}

bool LoadPart::is_tripped() const {
  return circuit().cutoff.tripped || over_amps.is_tripped() || over_volts.is_tripped();
}

bool LoadPart::switch_input(bool state) {
  if (!state && whole_.has_fault(SimFault::ignores_off)) return true;
  if (state && is_tripped()) return false;
  const Ampere before = whole_.posts().load_amps();
  circuit().on = state;
  whole_.posts().changed();
  settling_.jumped(before);
  return true;
}

void LoadPart::apply() {
  const Ampere before = whole_.posts().load_amps();
  double amps = set_amps_ > 0.0 ? std::max(source_.biased(set_amps_), 0.0) : 0.0;
  if (whole_.has_fault(SimFault::ignores_amps)) amps = rating_.amps_max;
  circuit().draw = Ampere(amps);
  whole_.posts().changed();
  settling_.jumped(before);
}

void LoadPart::reset() {
  was_on_ = false;
  circuit().on = false;
  circuit().off_at.reset();
  circuit().expired = false;
  circuit().cutoff = {};
  set_amps_ = 0.0;
  over_amps.reset();
  over_volts.reset();
  apply();
}

void LoadPart::mains_lost() {
  was_on_ = circuit().on;
  circuit().on = false;
  circuit().off_at.reset();
  whole_.posts().changed();
}

void LoadPart::mains_back() {
  circuit().on = was_on_;
  apply();
}

void LoadPart::faults_changed() {
  over_amps.refresh();
  over_volts.refresh();
  apply();
}

void LoadPart::move(Terminals& from, Terminals& to) {
  to.load = std::exchange(from.load, LoadCircuit{});
}

}  // namespace leadwright
