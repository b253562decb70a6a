// SPDX-License-Identifier: Apache-2.0
// What makes a place safe: off and read back, and the contacts between its instruments and the battery.
#include <algorithm>

#include "daemon/place/instruments.h"
#include "daemon/switchgear/leads.h"

namespace leadwright {

bool PlaceInstruments::has_lease(const SharedInstrument* shared) const {
  return shared->holder() == own_.place;
}

std::vector<Instrument*> PlaceInstruments::energisers() const {
  std::vector<Instrument*> energisers;
  for (Instrument* own : {own_.two_quadrant.get(), own_.load.get(), own_.charger.get()}) {
    if (own != nullptr) energisers.push_back(own);
  }
  for (SharedInstrument* each : shared_) {
    if (has_lease(each)) energisers.push_back(&each->instrument());
  }
  return energisers;
}

std::string PlaceInstruments::waits_for() const {
  if (own_.isolator && !own_.isolator->box->is_ready()) {
    return own_.isolator->box->name() + ": " + own_.isolator->box->problem();
  }
  for (const SharedInstrument* each : shared_) {
    if (std::string problem = each->problem(); !problem.empty()) return problem;
  }
  return {};
}

bool PlaceInstruments::take_leases() {
  return std::ranges::all_of(shared_, [this](SharedInstrument* each) { return each->take(own_.place); });
}

std::string PlaceInstruments::waits_in_line() const {
  for (const SharedInstrument* each : shared_) {
    if (has_lease(each)) continue;
    return each->holder().empty() ? "waits for " + each->name()
                                  : "waits for " + each->name() + ", which serves " + each->holder();
  }
  return {};
}

InstrumentWatch* PlaceInstruments::own_meter() const {
  const Instrument* own = own_.two_quadrant ? own_.two_quadrant.get()
                          : own_.load       ? own_.load.get()
                                            : own_.charger.get();
  return own != nullptr ? &watch(*own) : nullptr;
}

Task<Result<void>> PlaceInstruments::connect_battery() {
  if (is_connected_) co_return Result<void>();
  InstrumentWatch* const own = own_meter();
  if (own_.isolator) {
    Result<void> opened = co_await own_.isolator->open();
    if (!opened) co_return opened;
    // Where every meter is shared, its own leads are proved dead before its selector closes, and prove the
    // isolator's position afterwards.
    Result<void> dead;
    if (own != nullptr) dead = co_await await_dead(*own, clocks_);
    if (!dead) co_return dead;
  }
  for (SharedInstrument* each : shared_) {
    Result<void> joined = co_await each->join(own_.place);
    if (!joined) co_return joined;
  }
  if (own_.isolator) {
    Result<void> closed = co_await own_.isolator->close();
    if (!closed) co_return closed;
  }
  Result<void> proved = co_await prove_battery();
  is_connected_ = proved.has_value();
  co_return proved;
}

Task<Result<void>> PlaceInstruments::prove_battery() {
  std::vector<InstrumentWatch*> meters;
  if (InstrumentWatch* own = own_meter(); own != nullptr && own_.isolator) meters.push_back(own);
  for (SharedInstrument* each : shared_) meters.push_back(&each->watch());
  for (InstrumentWatch* meter : meters) {
    Result<void> proved = co_await await_battery(*meter, clocks_);
    if (!proved) co_return proved;
  }
  co_return Result<void>();
}

Task<Result<void>> PlaceInstruments::disconnect_battery() {
  Result<void> outcome;
  const auto keep_first = [&outcome](Result<void> result) {
    if (!result && outcome) outcome = std::move(result);
  };
  if (own_.isolator) {
    Result<void> opened = co_await own_.isolator->open();
    keep_first(std::move(opened));
  }
  for (SharedInstrument* each : shared_) {
    if (has_lease(each)) {
      Result<void> parted = co_await each->part(own_.place);
      keep_first(std::move(parted));
    }
    each->give(own_.place);
  }
  InstrumentWatch* const own = own_meter();
  if (own_.isolator && own != nullptr) {
    Result<void> dead = co_await await_dead(*own, clocks_);
    keep_first(std::move(dead));
  }
  is_connected_ = !own_.isolator && shared_.empty();
  co_return outcome;
}

void PlaceInstruments::off_now() noexcept {
  if (own_.two_quadrant) own_.two_quadrant->off_now();
  if (own_.load) own_.load->off_now();
  if (own_.charger) own_.charger->off_now();
  for (SharedInstrument* each : shared_) {
    if (has_lease(each)) each->instrument().off_now();
  }
}

void PlaceInstruments::cut_now() noexcept {
  off_now();
  if (own_.isolator) {
    own_.isolator->open_now();
    is_connected_ = false;
  }
  for (SharedInstrument* each : shared_) {
    if (!has_lease(each)) continue;
    each->open_now();
    is_connected_ = false;
  }
}

Task<Result<void>> PlaceInstruments::make_safe() {
  off_now();
  Result<void> outcome;
  for (Instrument* instrument : energisers()) {
    const bool is_own = std::ranges::find(all_, instrument) != all_.end();
    // One attempt must do where there is another way to end the current.
    const bool has_other_way = own_.isolator || !is_own;
    Result<void> safe = co_await instrument->make_safe(has_other_way ? 1 : 3);
    if (!safe && has_other_way) {
      cut_now();
      safe = co_await instrument->make_safe(2);
    }
    watch(*instrument).asked(safe ? nullptr : &safe.error());
    if (!safe && outcome) outcome = std::move(safe);
  }
  if (!outcome && own_.isolator) {
    const Result<void> opened = co_await own_.isolator->open();
    outcome.error().what.append(opened ? "; its isolator was opened and read back"
                                       : "; nor could its isolator be opened: " + opened.error().line());
  }
  if (!outcome || !is_proved_off_ || still_flows_) unproved_until_ = clocks_.bench.now();
  is_proved_off_ = outcome.has_value();
  co_return outcome;
}

Task<Result<void>> PlaceInstruments::make_those_there_safe() {
  Result<void> outcome;
  for (Instrument* instrument : energisers()) {
    if (!is_there(*instrument)) continue;
    Result<void> safe = co_await instrument->make_safe(1);
    watch(*instrument).asked(safe ? nullptr : &safe.error());
    if (safe) continue;
    cut_now();
    // One that is there and on is worse than one that is going away.
    const bool is_on = safe.error().code == Errc::not_verified;
    if (outcome || (is_on && outcome.error().code != Errc::not_verified)) outcome = std::move(safe);
  }
  if (!outcome || still_flows_) unproved_until_ = clocks_.bench.now();
  if (!outcome) is_proved_off_ = false;
  co_return outcome;
}

std::optional<Instant> PlaceInstruments::unproved_until() const {
  return may_flow() ? std::optional(clocks_.bench.now()) : unproved_until_;
}

}  // namespace leadwright
