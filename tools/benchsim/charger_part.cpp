// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/charger_part.h"

#include <algorithm>
#include <utility>

namespace leadwright {

ChargerPart::ChargerPart(SimInstrument& whole, const ChargerRating& rating)
    : over_amps(
          whole, rating.trip_amps_max, [this]() -> auto& { return circuit().over_amps; }),
      over_volts(
          whole, rating.trip_volts_max, [this]() -> auto& { return circuit().over_volts; }),
      whole_(whole),
      rating_(rating),
      volts_(whole, rating.volts, rating.volts_max),
      amps_(whole, rating.amps, rating.amps_max),
      volts_source_(whole.meter(rating.volts)),
      amps_source_(whole.meter(rating.amps)),
      settling_(whole) {
  whole.add(*this);
}

double ChargerPart::read_volts() {
  return volts_.show(whole_.posts().volts().si());
}

double ChargerPart::settling_amps() const {
  const Ampere pushed = whole_.posts().charger_amps();
  return pushed.si() + settling_.left(pushed);
}

double ChargerPart::read_amps() {
  return amps_.show(settling_amps());
}

void ChargerPart::set_volts(double volts) {
  if (whole_.has_fault(SimFault::ignores_off) && volts < set_volts_) return;
  set_volts_ = volts;
  apply();
}

void ChargerPart::set_amps(double amps) {
  if (whole_.has_fault(SimFault::ignores_off) && amps < set_amps_) return;
  set_amps_ = amps;
  apply();
}

bool ChargerPart::switch_output(bool state) {
  if (!state && whole_.has_fault(SimFault::ignores_off)) return true;
  if (state && is_tripped()) return false;
  const Ampere before = whole_.posts().charger_amps();
  circuit().on = state;
  whole_.posts().changed();
  settling_.jumped(before);
  return true;
}

void ChargerPart::apply() {
  const Ampere before = whole_.posts().charger_amps();
  double volts = set_volts_ > 0.0 ? std::max(volts_source_.biased(set_volts_), 0.0) : 0.0;
  double amps = set_amps_ > 0.0 ? std::max(amps_source_.biased(set_amps_), 0.0) : 0.0;
  if (whole_.has_fault(SimFault::ignores_volts)) volts = rating_.volts_max;
  if (whole_.has_fault(SimFault::ignores_amps)) amps = rating_.amps_max;
  circuit().volts = Volt(volts);
  circuit().limit = Ampere(amps);
  whole_.posts().changed();
  settling_.jumped(before);
}

void ChargerPart::reset() {
  was_on_ = false;
  circuit().on = false;
  circuit().off_at.reset();
  circuit().expired = false;
  set_volts_ = set_amps_ = 0.0;
  over_amps.reset();
  over_volts.reset();
  apply();
}

void ChargerPart::mains_lost() {
  was_on_ = circuit().on;
  circuit().on = false;
  circuit().off_at.reset();
  whole_.posts().changed();
}

void ChargerPart::mains_back() {
  circuit().on = was_on_;
  apply();
}

void ChargerPart::faults_changed() {
  over_amps.refresh();
  over_volts.refresh();
  apply();
}

void ChargerPart::move(Terminals& from, Terminals& to) {
  to.charger = std::exchange(from.charger, ChargerCircuit{});
}

}  // namespace leadwright
