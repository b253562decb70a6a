// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/instruments.h"

#include <algorithm>

namespace leadwright {

PlaceInstruments::PlaceInstruments(Clocks clocks, std::unique_ptr<Instrument> load,
                                   std::unique_ptr<Instrument> charger,
                                   std::unique_ptr<Instrument> thermometer)
    : clocks_(clocks),
      load_(std::move(load)),
      charger_(std::move(charger)),
      thermometer_(std::move(thermometer)) {
  for (Instrument* instrument : {load_.get(), charger_.get(), thermometer_.get()}) {
    if (instrument == nullptr) continue;
    all_.push_back(instrument);
    watches_.push_back(std::make_unique<InstrumentWatch>(*instrument, clocks));
  }
}

InstrumentWatch& PlaceInstruments::watch(const Instrument& instrument) const {
  return **std::ranges::find_if(
      watches_, [&instrument](const auto& watch) { return &watch->instrument() == &instrument; });
}

void PlaceInstruments::alarm(std::string_view words) {
  for (auto watch = watches_.begin(); watch != watches_.end(); ++watch) {
    const bool is_told = std::any_of(watches_.begin(), watch, [watch](const auto& earlier) {
      return earlier->trace() == (*watch)->trace();
    });
    if (!is_told) (*watch)->alarm(words);
  }
}

void PlaceInstruments::blame(const Error& error) {
  const auto is_meant = [&error](const auto& watch) {
    Instrument& instrument = watch->instrument();
    return error.where == instrument.name() || error.where == instrument.link().name();
  };
  const auto meant = std::ranges::find_if(watches_, is_meant);
  if (meant != watches_.end()) (*meant)->asked(&error);
}

bool PlaceInstruments::all_ready() const {
  return std::ranges::all_of(
      all_, [](const Instrument* instrument) { return instrument->state() == LinkState::ready; });
}

void PlaceInstruments::off_now() noexcept {
  if (load_) load_->off_now();
  if (charger_) charger_->off_now();
}

Task<Result<void>> PlaceInstruments::make_safe() {
  off_now();
  Result<void> outcome;
  for (Instrument* instrument : {load_.get(), charger_.get()}) {
    if (instrument == nullptr) continue;
    Result<void> safe = co_await instrument->make_safe();
    watch(*instrument).asked(safe ? nullptr : &safe.error());
    if (!safe && outcome) outcome = std::move(safe);
  }
  co_return outcome;
}

Instrument* PlaceInstruments::meter(Energy energy) const {
  if (energy == Energy::charge || !load_) return charger_.get();
  return load_.get();
}

Second PlaceInstruments::stale_after(const Instrument& instrument) const {
  const Second scaled{0.5 * clocks_.bench.scale()};
  return clocks_.bench.scale() > 1.0 ? std::max(instrument.profile().stale, scaled)
                                     : instrument.profile().stale;
}

Task<void> PlaceInstruments::refresh_temperature() {
  const Instant now = clocks_.bench.now();
  if (!thermometer_ || now < temperature_due_) co_return;
  const Second stale = stale_after(*thermometer_);
  temperature_due_ = now + stale / 3.0;
  const Result<Reading> reading = co_await thermometer_->sample();
  watch(*thermometer_).asked(reading ? nullptr : &reading.error());
  if (reading && reading->temperature) {
    temperature_ = reading->temperature;
    temperature_at_ = reading->at;
  }
}

Task<Result<Sample>> PlaceInstruments::sample(Energy energy, Instant zero) {
  Instrument* source = meter(energy);
  if (source == nullptr) co_return fail(Errc::unsupported, "no instrument here can read volts");
  // The degrees first: nothing may stand between the reading of volts and amps and the look at it.
  co_await refresh_temperature();
  Result<Reading> reading = co_await source->sample();
  watch(*source).asked(reading ? nullptr : &reading.error());
  if (!reading) co_return pass(reading);
  Sample sample;
  sample.at = reading->at - zero;
  sample.volts = reading->volts;
  sample.amps = reading->amps;
  if (sample.amps && source == charger_.get()) sample.amps = -*sample.amps;
  const bool is_fresh = thermometer_ && clocks_.bench.now() - temperature_at_ <= stale_after(*thermometer_);
  if (is_fresh) sample.temperature = temperature_;
  co_return sample;
}

Task<void> PlaceInstruments::look_at(Instrument& instrument) {
  const Result<Reading> reading = co_await instrument.sample();
  watch(instrument).asked(reading ? nullptr : &reading.error());
}

Task<void> PlaceInstruments::look_around() {
  if (charger_ && charger_.get() != meter(Energy::none)) co_await look_at(*charger_);
}

InstrumentReach PlaceInstruments::reach() const {
  InstrumentReach reach;
  if (load_) reach.load_amps_max = load_->profile().amps_max;
  if (charger_) {
    reach.charger_amps_max = charger_->profile().amps_max;
    reach.charger_volts_max = charger_->profile().volts_max;
  }
  return reach;
}

MeterAccuracy PlaceInstruments::accuracy(Energy energy) const {
  MeterAccuracy accuracy;
  if (const Instrument* source = meter(energy)) {
    const Profile& profile = source->profile();
    accuracy.volts_relative = profile.volts_accuracy.relative;
    accuracy.volts_absolute = profile.volts_accuracy.absolute;
    accuracy.volts_resolution = profile.volts_accuracy.resolution;
    accuracy.amps_relative = profile.amps_accuracy.relative;
    accuracy.amps_absolute = profile.amps_accuracy.absolute;
    accuracy.amps_resolution = profile.amps_accuracy.resolution;
  }
  if (thermometer_) {
    accuracy.temperature_absolute = thermometer_->profile().temperature_accuracy.absolute;
  }
  return accuracy;
}

}  // namespace leadwright
