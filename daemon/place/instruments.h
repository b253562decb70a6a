// SPDX-License-Identifier: Apache-2.0
// The instruments of one place, seen from the battery: one sample with volts, signed amps and degrees.
// Owned by the place. Thread: control; one exchange at a time.
#pragma once

#include <memory>
#include <vector>

#include "daemon/battery/findings.h"
#include "daemon/battery/sample.h"
#include "daemon/battery/ticket.h"
#include "daemon/place/envelope.h"
#include "daemon/switchgear/shared_instrument.h"
#include "drivers/instrument.h"

namespace leadwright {

/// What is wired to a place. A load or charger is its own, or shared, or both are one unit.
struct PlaceWiring {
  std::string place;
  std::unique_ptr<Instrument> load;
  std::unique_ptr<Instrument> charger;
  std::unique_ptr<Instrument> thermometer;
  /// Load and charger in one, instead of the two.
  std::unique_ptr<Instrument> two_quadrant;
  SharedInstrument* shared_load = nullptr;
  SharedInstrument* shared_charger = nullptr;
  std::optional<Contact> isolator;  ///< between the instruments and the posts
};

class PlaceInstruments {
 public:
  PlaceInstruments(Clocks clocks, PlaceWiring wiring);

  /// Its own or one that it shares, which only counts while the place has its lease.
  Instrument* load() const { return load_; }
  Instrument* charger() const { return charger_; }
  Instrument* thermometer() const { return own_.thermometer.get(); }
  /// Its own, load first.
  const std::vector<Instrument*>& all() const { return all_; }
  bool all_ready() const;
  /// Load and charger are two units, each with sense leads of its own.
  bool has_second_meter() const { return load_ != nullptr && charger_ != nullptr && load_ != charger_; }
  /// One for each of them, in the same order.
  const std::vector<std::unique_ptr<InstrumentWatch>>& watches() const { return watches_; }
  InstrumentWatch& watch(const Instrument& instrument) const;
  /// What happened at the place, into the trace of each link that is traced, and with it to the event log.
  void alarm(std::string_view words);
  /// An error of a setting, for the instrument that it names; none if it names another thing.
  void blame(const Error& error);

  /// Why a box or a shared instrument keeps the place from being ready; empty if none does.
  std::string waits_for() const;
  /// True once every shared instrument is leased to this place. Waits in line until then, without energy.
  bool take_leases();
  /// The shared instrument that another place has, in words; empty if there is none.
  std::string waits_in_line() const;
  /// No contact stands open between the instruments and the posts.
  bool is_connected() const { return is_connected_; }
  /// Proves the leads dead, closes selectors and isolator, proves the battery there by voltage. Before
  /// energy, with every lease taken. not_verified: a contact is welded; refused: no battery is reached.
  Task<Result<void>> connect_battery();
  /// Opens isolator and selectors, proves the leads dead, gives the leases back. Instruments are off by then.
  Task<Result<void>> disconnect_battery();

  /// Load and charger off at once: synchronous, no allocation. Ahead of whatever is being asked.
  void off_now() noexcept;
  /// As off_now(), and every contact to the battery opens as well.
  void cut_now() noexcept;
  /// Every instrument that can energise is off and was read back as off; else the first error, and the
  /// contacts to the battery were opened.
  Task<Result<void>> make_safe();
  /// The same of those that are there while the place waits for another one. It proves nothing for the place:
  /// what is away may be on, and what now stands at its plug is somebody else's.
  Task<Result<void>> make_those_there_safe();
  /// The last make_safe() succeeded, or none was needed yet. What is not proved may flow unseen: a meter in
  /// overload shows no current.
  bool is_proved_off() const { return is_proved_off_; }
  /// Current may flow although nothing runs.
  bool may_flow() const { return still_flows_ || !is_proved_off_; }
  /// What a daemon before this one left on is not known: nothing counts as proved before a make_safe().
  void doubt_off() { is_proved_off_ = false; }
  /// Bench time until which current may have flowed with no run to end it: now, as long as off is not proved
  /// or current shows where nothing runs; then when off was proved at last. Missing if it always was at once.
  std::optional<Instant> unproved_until() const;

  /// With every lease taken: those that can energise are still the instruments that they were, since plugs
  /// can change places. The link to another one is closed.
  Task<Result<void>> check_identities();

  /// One sample. Volts and amps come from the instrument that works (the load unless charging); degrees are
  /// asked as often as the thermometer's freshness needs, and are missing when they are too old.
  /// `sample.at` is bench time since `zero`.
  Task<Result<Sample>> sample(Energy energy, Instant zero);

  /// Looks at what gives no sample while nothing runs: its loss is seen then and not at the next start.
  Task<void> look_around();
  /// The same while the place waits for some of its instruments.
  Task<void> look_at_those_there();
  /// In that look an instrument showed more current than its profile takes for off.
  bool still_flows() const { return still_flows_; }

  /// Time after which a reading no longer counts: the profile's, or scale x 0.5 s if that is longer.
  Second stale_after(const Instrument& instrument) const;
  /// Shortest sampling period that every link can keep: 20 ms of machine time (design.md, section 4).
  /// No shorter than the slowest meter takes for one measurement, by its data sheet.
  Second period_min() const;

  InstrumentReach reach() const;
  /// Who load, charger and thermometer said they are, one line.
  std::string identities() const;
  /// Load, charger and thermometer, each once, for the record of a run that begins on that day.
  std::vector<UsedInstrument> used(Utc today) const;
  /// Of the meter that counts for `energy`, in the ranges that hold these readings.
  MeterAccuracy accuracy(Energy energy, Volt volts, Ampere amps) const;

 private:
  Instrument* meter(Energy energy) const;
  /// Reads what stands on the posts while all contacts are open: one of the place's own; null if none can.
  InstrumentWatch* own_meter() const;
  /// Those that can energise, each once.
  std::vector<Instrument*> energisers() const;
  bool has_lease(const SharedInstrument* shared) const;
  Task<Result<void>> prove_battery();
  Task<void> refresh_temperature();
  Task<void> look_at_flow(InstrumentWatch& watch);
  void look_for_current(const Instrument& instrument, const Reading& reading);

  Clocks clocks_;
  PlaceWiring own_;
  Instrument* load_;
  Instrument* charger_;
  /// In one order at every place, so that two places never wait for each other.
  std::vector<SharedInstrument*> shared_;
  bool is_connected_;
  std::vector<Instrument*> all_;
  std::vector<std::unique_ptr<InstrumentWatch>> watches_;
  std::optional<Celsius> temperature_;
  Instant temperature_at_;
  Instant temperature_due_;
  bool still_flows_ = false;
  bool is_proved_off_ = true;
  std::optional<Instant> unproved_until_;
};

}  // namespace leadwright
