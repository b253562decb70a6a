// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/sim_instrument.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace leadwright {

namespace {

// The mean of the meter over its own window; bench time, since it belongs to what is measured.
constexpr Second settling_tau{0.02};
constexpr double tenfold = 10.0;
constexpr double clipped_share = 0.1;

}  // namespace

SimInstrument::SimInstrument(SimInstrumentOptions options, Terminals& posts, const Clock& bench)
    : options_(std::move(options)), posts_(&posts), bench_(bench), random_(options_.seed, options_.serial) {
  moments_seed_ = SimRandom(random_).next();
}

SimRandom& SimInstrument::noise(std::uint64_t channel) {
  if (!options_.noise_by_moment) return random_;
  constexpr std::uint64_t apart = 0x9e3779b97f4a7c15ULL;
  SimRandom moment(moments_seed_ + channel * apart);
  of_moment_ = SimRandom(moment.next() ^ static_cast<std::uint64_t>(now_.ns()));
  of_moment_ = SimRandom(of_moment_.next());
  return of_moment_;
}

void SimInstrument::begin() {
  now_ = bench_.now();
  posts_->settle(now_);
}

void SimInstrument::set_fault(Fault fault, bool on) {
  begin();
  const unsigned bit = 1U << static_cast<unsigned>(fault);
  faults_ = on ? faults_ | bit : faults_ & ~bit;
  for (SimPart* part : parts_) part->faults_changed();
  fault_changed(fault, on);
}

void SimInstrument::reset_parts() {
  for (SimPart* part : parts_) part->reset();
}

void SimInstrument::power_cycle() {
  begin();
  reset_parts();
  restarted();
}

void SimInstrument::lose_mains() {
  if (!has_mains_) return;
  begin();
  for (SimPart* part : parts_) part->mains_lost();
  has_mains_ = false;
}

void SimInstrument::restore_mains(bool as_it_was) {
  if (has_mains_) return;
  begin();
  has_mains_ = true;
  if (as_it_was) {
    for (SimPart* part : parts_) part->mains_back();
  } else {
    reset_parts();
  }
  restarted();
}

void SimInstrument::connect(Terminals& posts) {
  if (&posts == posts_) return;
  for (SimPart* part : parts_) part->move(*posts_, posts);
  posts_->changed();
  posts_ = &posts;
  posts_->changed();
}

Meter SimInstrument::meter(SimAccuracy accuracy) {
  if (options_.ideal) return Meter(accuracy.resolution);
  return {accuracy, random_};
}

double Display::show(double value) {
  if (last_ && whole_.has_fault(SimFault::stuck_reading)) return *last_;
  double shown = meter_.shown(value, whole_.noise(channel_));
  if (whole_.has_fault(SimFault::reads_tenfold)) shown *= tenfold;
  if (whole_.has_fault(SimFault::reads_clipped)) {
    shown = std::clamp(shown, -range_ * clipped_share, range_ * clipped_share);
  }
  if (whole_.has_fault(SimFault::overload)) shown = overload_shown;
  last_ = shown;
  return shown;
}

void Settling::jumped(Ampere before) {
  at_ = whole_.now();
  from_ = before;
}

double Settling::left(Ampere present) const {
  if (whole_.is_ideal()) return 0.0;
  const double share = std::exp(-((whole_.now() - at_) / settling_tau));
  return share > 1e-9 ? (from_ - present).si() * share : 0.0;
}

}  // namespace leadwright
