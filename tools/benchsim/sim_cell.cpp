// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/sim_cell.h"

#include <algorithm>
#include <cmath>

namespace leadwright {

namespace {

// Constants are ours, chosen so that a sound 60 Ah battery of six cells shows: about 108 min at 25 A,
// 60 Ah in 20 h, 4 mohm when full, a taper to 1 % of C20 within 8 h. Volts and ohms are for one cell.
constexpr double hour = 3600.0;
constexpr double acid_over_c20 = 1.030;     // acid held in reserve at the 20 h rate
constexpr double material_over_c20 = 1.16;  // a new battery ends by acid, not by plates
constexpr double ohmic_60ah = 0.00062;
constexpr double acceptance_60ah = 0.0033;
constexpr double deficit_per_rate =
    0.62;  // acid missing in the pores per current in units of capacity per hour
constexpr double deficit_tau = 25.0 * 60.0;
constexpr double kinetic_scale = 0.012;
constexpr double kinetic_rate = 0.65;
constexpr double kinetic_tau = 20.0;
constexpr double surface_max = 0.045;
constexpr double surface_tau = 35.0 * 60.0;
constexpr double surface_build_tau = 20.0 * 60.0;
constexpr double surface_removal = 60.0;  // per capacity delivered
constexpr double knee = 0.05;
constexpr double knee_volts = 0.25;
constexpr double knee_volts_max = 2.6;
constexpr double capacity_per_kelvin =
    0.007;  // near 0.9 % of the minutes at 25 A: shared/domain.md, section 1
constexpr double ohmic_per_kelvin = -0.0075;  // shared/domain.md, section 6: -0.5 to -1 %/K
constexpr double charge_least = -0.25;        // driven backwards; what happens beyond is not modelled
constexpr double short_ohm = 0.008;
constexpr double open_ohm = 5.0;
constexpr double corroded_ohm = 0.012;

// Gassing: 20 mA per 100 Ah at 2.23 V, ten times as much for each 0.21 V, doubling in 12 K; from memory.
constexpr double gas_per_ah = 0.0002;
constexpr double gas_volts = 2.23;
constexpr double gas_slope = 11.0;
constexpr double gas_per_kelvin = 0.06;

// One such cell of six lets the block fall by 24 mV in a day: shared/domain.md, section 12 (P: 20 to 30).
constexpr double leaky_loss = 200.0;

double square(double x) {
  return x * x;
}

// Specific gravity of full mixed acid at a charge; table of shared/domain.md, section 5, within 0.002.
double gravity(double charge) {
  return std::max(1.120 + charge * (0.135 + 0.010 * charge), 1.005);
}

// Rule SG + 0.845, bent upwards in weak acid where the rule reads low (same section, comparison with Bode).
double acid_volts(double charge) {
  const double sg = gravity(charge);
  const double weak = std::max(1.2 - sg, 0.0);
  return sg + 0.845 + weak * (0.3076 - 1.237 * weak);
}

double follow(double value, double target, double time, double tau) {
  return target + (value - target) * std::exp(-time / tau);
}

// Self-discharge 2.5 % a month at 20 degC, doubling every 10 K: shared/domain.md, section 8.
double loss_per_second(Celsius acid) {
  return 0.025 / (30.0 * 24.0 * hour) * std::exp2((acid.degc() - 20.0) / 10.0);
}

}  // namespace

SimCell::SimCell(const CellMake& make, double charged)
    : fault_(make.fault), build_(levels_of(make.build)), charge_(charged) {
  const double c20 = make.c20.si() * make.size;
  const double scale = SimCell::reference_ah * hour / make.c20.si();
  acid_c_ = c20 * acid_over_c20;
  material_c_ = c20 * material_over_c20 * make.wear;
  ohmic_ = ohmic_60ah * scale * build_.ohmic * (1.0 + 0.5 * (1.0 - make.wear));
  acceptance_ = acceptance_60ah * scale;
  loss_ = 1.0;
  emf_shift_ = 0.0;
  const auto times = [&make](double factor) { return 1.0 + (factor - 1.0) * make.severity; };
  switch (fault_) {
    case CellFault::sulphated:
      material_c_ *= times(0.5);
      ohmic_ *= times(2.5);
      acceptance_ *= times(12.0);
      break;
    case CellFault::low_capacity:
      material_c_ *= times(0.45);
      break;
    case CellFault::dried_out:
      acid_c_ *= times(0.6);
      ohmic_ *= times(1.9);
      emf_shift_ = 0.03 * make.severity;
      break;
    case CellFault::open:
      ohmic_ += open_ohm * make.severity;
      break;
    case CellFault::high_resistance:
      ohmic_ += corroded_ohm * make.severity;
      break;
    case CellFault::self_discharge:
      loss_ = times(leaky_loss);
      break;
    default:
      break;
  }
}

double SimCell::ohmic(Celsius acid) const {
  const double used = std::clamp(1.0 - (charge_ - deficit_), 0.0, 1.2);
  return ohmic_ * (1.0 + 0.7 * square(used)) * std::exp(ohmic_per_kelvin * (acid.degc() - 25.0));
}

double SimCell::emf() const {
  return acid_emf(charge_ - deficit_) + surface_;
}

double SimCell::acid_emf(double charge) const {
  const double of_build =
      build_.emf_empty + (build_.emf_full - build_.emf_empty) * std::clamp(charge, 0.0, 1.0);
  return acid_volts(charge) + of_build + emf_shift_;
}

double SimCell::collapse(double amps, Celsius acid) const {
  const double colder = capacity_per_kelvin * (25.0 - acid.degc());
  const double pores = charge_ - deficit_ - colder;
  const double plates = 1.0 - (1.0 - charge_) * acid_c_ / material_c_ - 0.3 * deficit_ - colder;
  const double lost = knee_volts * (std::exp(-pores / knee) + std::exp(-plates / knee));
  const double drawn = amps / (amps + 0.02 * acid_c_ / hour);
  return std::min(lost * drawn, knee_volts_max);
}

SimCell::Charging SimCell::charging(double amps, Celsius acid) const {
  const double base = emf() - kinetic_;
  const double resistance = ohmic(acid) + acceptance_ / (std::max(1.0 - charge_, 0.0) + 1e-4);
  const double gas =
      gas_per_ah * acid_c_ / hour * std::exp(gas_per_kelvin * (acid.degc() - 25.0) - gas_slope * gas_volts);
  // Volts at which gas alone, or the plates alone, would take the whole current: both lie above the answer,
  // and the sum is convex, so Newton's steps come down to it.
  double volts = std::min(base + amps * resistance, std::log(std::max(amps, 1e-9) / gas) / gas_slope);
  volts = std::max(volts, base);
  for (int i = 0; i < 12; ++i) {
    const double gassing = gas * std::exp(gas_slope * volts);
    const double excess = (volts - base) / resistance + gassing - amps;
    const double change = excess / (1.0 / resistance + gas_slope * gassing);
    volts -= change;
    if (std::abs(change) < 1e-7) break;
  }
  return {volts, std::clamp((volts - base) / resistance, 0.0, amps)};
}

void SimCell::advance(Second time, Ampere discharge, Celsius acid) {
  if (fault_ == CellFault::shorted || fault_ == CellFault::reversed) return;
  const double step = time.si();
  const double amps = discharge.si();
  double main = amps;
  double volts = 0.0;
  if (amps < 0.0) {
    const Charging state = charging(-amps, acid);
    main = -state.main_a;
    volts = state.volts;
  }
  const double rate = main * hour / acid_c_;
  charge_ =
      std::clamp(charge_ - main * step / acid_c_ - loss_ * loss_per_second(acid) * step, charge_least, 1.0);
  deficit_ = follow(deficit_, deficit_per_rate * build_.deficit * rate, step, deficit_tau);
  kinetic_ = follow(kinetic_, kinetic_scale * std::asinh(rate / kinetic_rate), step, kinetic_tau);
  if (amps < 0.0) {
    const double wanted = surface_max * std::clamp((volts - 2.25) / 0.15, 0.0, 1.0);
    surface_ = follow(surface_, wanted, step, surface_build_tau);
  } else {
    surface_ *= std::exp(-step * (1.0 / surface_tau + surface_removal * rate / hour));
  }
}

Volt SimCell::terminal(Ampere discharge, Celsius acid) const {
  const double amps = discharge.si();
  const double warm = 0.0002 * (acid.degc() - 25.0);  // +0.2 mV/K: shared/domain.md, section 5
  if (fault_ == CellFault::shorted) return Volt(0.02 - amps * short_ohm);
  if (fault_ == CellFault::reversed) return Volt(-1.95 + warm - amps * ohmic(acid) * 3.0);
  if (amps < 0.0) return Volt(charging(-amps, acid).volts + warm);
  const double volts = emf() + warm - amps * ohmic(acid) - kinetic_ - collapse(amps, acid);
  return Volt(volts);
}

Volt SimCell::rested() const {
  if (fault_ == CellFault::shorted) return Volt(0.02);
  if (fault_ == CellFault::reversed) return Volt(-1.95);
  return Volt(acid_emf(charge_));
}

Ampere SimCell::gassing(Ampere charge, Celsius acid) const {
  if (charge.si() <= 0.0 || fault_ == CellFault::shorted || fault_ == CellFault::reversed) return Ampere(0.0);
  return Ampere(charge.si() - charging(charge.si(), acid).main_a);
}

}  // namespace leadwright
