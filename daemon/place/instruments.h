// SPDX-License-Identifier: Apache-2.0
// The instruments of one place, seen from the battery: one sample with volts, signed amps and degrees.
// Owned by the place. Thread: control; one exchange at a time.
#pragma once

#include <memory>
#include <vector>

#include "daemon/battery/findings.h"
#include "daemon/battery/sample.h"
#include "daemon/place/envelope.h"
#include "daemon/place/instrument_watch.h"
#include "drivers/instrument.h"

namespace leadwright {

class PlaceInstruments {
 public:
  PlaceInstruments(Clocks clocks, std::unique_ptr<Instrument> load, std::unique_ptr<Instrument> charger,
                   std::unique_ptr<Instrument> thermometer);

  Instrument* load() const { return load_.get(); }
  Instrument* charger() const { return charger_.get(); }
  Instrument* thermometer() const { return thermometer_.get(); }
  /// Those that exist, load first.
  const std::vector<Instrument*>& all() const { return all_; }
  bool all_ready() const;
  /// One for each of them, in the same order.
  const std::vector<std::unique_ptr<InstrumentWatch>>& watches() const { return watches_; }
  InstrumentWatch& watch(const Instrument& instrument) const;
  /// What happened at the place, into the trace of each link that is traced, and with it to the event log.
  void alarm(std::string_view words);
  /// An error of a setting, for the instrument that it names; none if it names another thing.
  void blame(const Error& error);

  /// Load and charger off at once: synchronous, no allocation. Ahead of whatever is being asked.
  void off_now() noexcept;
  /// Every instrument that can energise is off and was read back as off; else the first error.
  Task<Result<void>> make_safe();

  /// One sample. Volts and amps come from the instrument that works (the load unless charging); degrees are
  /// asked as often as the thermometer's freshness needs, and are missing when they are too old.
  /// `sample.at` is bench time since `zero`.
  Task<Result<Sample>> sample(Energy energy, Instant zero);

  /// Asks for a reading only to see whether the instrument is still there.
  Task<void> look_at(Instrument& instrument);
  /// As look_at(), who gives no sample while nothing runs: its loss is seen then and not at the next start.
  Task<void> look_around();

  /// Time after which a reading no longer counts: the profile's, or scale x 0.5 s if that is longer.
  Second stale_after(const Instrument& instrument) const;
  /// Shortest sampling period that every link can keep: 20 ms of machine time (design.md, section 4).
  Second period_min() const { return Second(0.020 * clocks_.bench.scale()); }

  InstrumentReach reach() const;
  MeterAccuracy accuracy(Energy energy) const;

 private:
  Instrument* meter(Energy energy) const;
  Task<void> refresh_temperature();

  Clocks clocks_;
  std::unique_ptr<Instrument> load_;
  std::unique_ptr<Instrument> charger_;
  std::unique_ptr<Instrument> thermometer_;
  std::vector<Instrument*> all_;
  std::vector<std::unique_ptr<InstrumentWatch>> watches_;
  std::optional<Celsius> temperature_;
  Instant temperature_at_;
  Instant temperature_due_;
};

}  // namespace leadwright
