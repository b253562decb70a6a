// SPDX-License-Identifier: Apache-2.0
#include "daemon/place/instruments.h"

#include <algorithm>

namespace leadwright {

PlaceInstruments::PlaceInstruments(Clocks clocks, PlaceWiring wiring)
    : clocks_(clocks),
      own_(std::move(wiring)),
      load_(own_.two_quadrant             ? own_.two_quadrant.get()
            : own_.shared_load != nullptr ? &own_.shared_load->instrument()
                                          : own_.load.get()),
      charger_(own_.two_quadrant                ? own_.two_quadrant.get()
               : own_.shared_charger != nullptr ? &own_.shared_charger->instrument()
                                                : own_.charger.get()),
      is_connected_(!own_.isolator && own_.shared_load == nullptr && own_.shared_charger == nullptr) {
  for (SharedInstrument* each : {own_.shared_load, own_.shared_charger}) {
    if (each != nullptr) shared_.push_back(each);
  }
  for (Instrument* instrument :
       {own_.two_quadrant.get(), own_.load.get(), own_.charger.get(), own_.thermometer.get()}) {
    if (instrument == nullptr) continue;
    all_.push_back(instrument);
    watches_.push_back(std::make_unique<InstrumentWatch>(*instrument, clocks));
  }
}

InstrumentWatch& PlaceInstruments::watch(const Instrument& instrument) const {
  for (SharedInstrument* each : shared_) {
    if (&each->instrument() == &instrument) return each->watch();
  }
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

Task<Result<void>> PlaceInstruments::check_identities() {
  for (Instrument* instrument : energisers()) {
    Result<void> same = co_await instrument->check_identity();
    if (!same && same.error().code == Errc::conflict) {
      instrument->close();
      // Whatever was read back as off may have been another one's.
      doubt_off();
    }
    watch(*instrument).asked(same ? nullptr : &same.error());
    if (!same) co_return same;
  }
  co_return Result<void>();
}

Instrument* PlaceInstruments::meter(Energy energy) const {
  // Between runs a shared instrument reads somebody else's battery, or none.
  const auto here = [this](Instrument* instrument, const SharedInstrument* shared) {
    return shared == nullptr || has_lease(shared) ? instrument : nullptr;
  };
  Instrument* const load = here(load_, own_.shared_load);
  Instrument* const charger = here(charger_, own_.shared_charger);
  if (charger != nullptr && (energy == Energy::charge || load == nullptr)) return charger;
  return load;
}

Second PlaceInstruments::stale_after(const Instrument& instrument) const {
  const Second scaled{0.5 * clocks_.bench.scale()};
  return clocks_.bench.scale() > 1.0 ? std::max(instrument.profile().stale, scaled)
                                     : instrument.profile().stale;
}

Task<void> PlaceInstruments::refresh_temperature() {
  const Instant now = clocks_.bench.now();
  Instrument* const thermometer = own_.thermometer.get();
  if (thermometer == nullptr || now < temperature_due_) co_return;
  const Second stale = stale_after(*thermometer);
  temperature_due_ = now + stale / 3.0;
  const Result<Reading> reading = co_await thermometer->sample();
  watch(*thermometer).asked(reading ? nullptr : &reading.error());
  if (reading && reading->temperature) {
    temperature_ = reading->temperature;
    temperature_at_ = reading->at;
  }
}

Task<Result<Sample>> PlaceInstruments::sample(Energy energy, Instant zero) {
  still_flows_ = false;
  Instrument* source = meter(energy);
  if (source == nullptr) co_return fail(Errc::unsupported, "no instrument here can read volts");
  // The degrees first: nothing may stand between the reading of volts and amps and the look at it.
  co_await refresh_temperature();
  Result<Reading> reading = co_await source->sample();
  watch(*source).asked(reading ? nullptr : &reading.error());
  if (!reading) co_return pass(reading);
  if (energy == Energy::none) look_for_current(*source, *reading);
  Sample sample;
  sample.at = reading->at - zero;
  sample.volts = reading->volts;
  sample.amps = reading->amps;
  if (sample.amps && source == charger_) sample.amps = -*sample.amps;
  const bool is_fresh =
      own_.thermometer && clocks_.bench.now() - temperature_at_ <= stale_after(*own_.thermometer);
  if (is_fresh) sample.temperature = temperature_;
  co_return sample;
}

void PlaceInstruments::look_for_current(const Instrument& instrument, const Reading& reading) {
  const std::optional<SafeState::Proof>& proof = instrument.profile().safe.proof;
  still_flows_ = still_flows_ || (proof && reading.amps && abs(*reading.amps) >= proof->below);
}

Task<void> PlaceInstruments::look_at_flow(InstrumentWatch& watch) {
  Instrument& instrument = watch.instrument();
  const Result<Reading> reading = co_await instrument.sample();
  watch.asked(reading ? nullptr : &reading.error());
  if (reading) look_for_current(instrument, *reading);
}

Task<void> PlaceInstruments::look_around() {
  const Instrument* seen = meter(Energy::none);
  for (const auto& watch : watches_) {
    const Instrument* const each = &watch->instrument();
    if (each != own_.charger.get() || each == seen) continue;
    co_await look_at_flow(*watch);
  }
}

Task<void> PlaceInstruments::look_at_those_there() {
  still_flows_ = false;
  for (const auto& watch : watches_) {
    if (is_there(watch->instrument())) co_await look_at_flow(*watch);
  }
}

InstrumentReach PlaceInstruments::reach() const {
  InstrumentReach reach;
  if (load_ != nullptr) reach.load_amps_max = load_->profile().amps_max;
  if (charger_ != nullptr) {
    reach.charger_amps_max = charger_->profile().amps_max;
    reach.charger_volts_max = charger_->profile().volts_max;
  }
  return reach;
}

std::vector<UsedInstrument> PlaceInstruments::used(Utc today) const {
  std::vector<UsedInstrument> all;
  for (const Instrument* each : {load_, charger_, thermometer()}) {
    if (each == nullptr || (each == charger_ && charger_ == load_)) continue;
    UsedInstrument instrument;
    instrument.name = each->name();
    if (each->identity()) instrument.identity = shown(*each->identity());
    instrument.calibration_due = each->calibration_due();
    const auto due = Utc::parse(instrument.calibration_due);
    // Its last day counts in full.
    instrument.calibration_overdue = due && today - *due >= hours(24.0);
    all.push_back(std::move(instrument));
  }
  return all;
}

std::string PlaceInstruments::identities() const {
  std::string all;
  for (const Instrument* each : {load_, charger_, thermometer()}) {
    if (!all.empty()) all += "; ";
    if (each == nullptr || !each->identity()) continue;
    all.append(each->name()).append(" ").append(shown(*each->identity()));
  }
  return all;
}

Second PlaceInstruments::period_min() const {
  Second period{0.020 * clocks_.bench.scale()};
  for (const Instrument* meter : {load_, charger_}) {
    if (meter != nullptr) period = std::max(period, meter->profile().sample_time);
  }
  return period;
}

MeterAccuracy PlaceInstruments::accuracy(Energy energy, Volt volts, Ampere amps) const {
  MeterAccuracy accuracy;
  if (const Instrument* source = meter(energy)) {
    const ErrorLimits<Volt> of_volts = source->profile().volts_accuracy.at(volts);
    const ErrorLimits<Ampere> of_amps = source->profile().amps_accuracy.at(amps);
    accuracy.volts_relative = of_volts.relative;
    accuracy.volts_absolute = of_volts.absolute;
    accuracy.volts_resolution = of_volts.resolution;
    accuracy.amps_relative = of_amps.relative;
    accuracy.amps_absolute = of_amps.absolute;
    accuracy.amps_resolution = of_amps.resolution;
  }
  if (own_.thermometer) {
    accuracy.temperature_absolute = own_.thermometer->profile().temperature_accuracy.absolute;
  }
  return accuracy;
}

}  // namespace leadwright
