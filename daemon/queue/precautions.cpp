// SPDX-License-Identifier: Apache-2.0
// What the bench keeps for the sake of people: the gas of a charge, the air of the room, and whether each
// place was watched.
#include <fmt/format.h>

#include <algorithm>

#include "daemon/place/label_values.h"
#include "daemon/queue/bench.h"

namespace leadwright {

GasOff Bench::gas_off(const TicketFile& file) const {
  GasOff gas{settings_.precautions.gas_off, file.charged_at};
  // A charger that can't be proved off may still charge.
  const auto at =
      std::ranges::find_if(places_, [&file](const auto& each) { return each->name() == file.ticket.place; });
  if (gas.charged_at && at != places_.end() && (*at)->kind() != PlaceKind::shelf) {
    gas.charged_at = std::max(gas.charged_at, (*at)->instruments().unproved_until());
  }
  return gas;
}

Result<std::string> Bench::unclamped(const TicketFile& file, const std::string& why) const {
  const auto at =
      std::ranges::find_if(places_, [&file](const auto& each) { return each->name() == file.ticket.place; });
  const bool is_clamped = at != places_.end() && (*at)->kind() != PlaceKind::shelf;
  const std::string gas = is_clamped ? gas_off(file).warning(clocks_.bench).text() : std::string();
  if (gas.empty()) return why;
  if (why.empty()) {
    return fail(Errc::conflict, gas, shown(file.ticket.id),
                "wait until then; if it must come off now, ventilate, make no spark, and say why: leadwright "
                "ticket move or close, --why");
  }
  return fmt::format("{} (unclamped {:.0f} min before the gas had gone)", why,
                     as_minutes(gas_off(file).left(clocks_.bench)));
}

std::optional<std::string> Bench::protection_overdue() const {
  for (const auto& place : places_) {
    if (place->is_protection_overdue()) {
      return fmt::format("{} is energised and was not watched for too long", place->name());
    }
  }
  return std::nullopt;
}

std::string Bench::status_line() const {
  const auto count = [this](Activity activity) {
    return std::ranges::count_if(places_,
                                 [activity](const auto& place) { return place->activity() == activity; });
  };
  return fmt::format("{} places, {} at work, {} tripped", places_.size(), count(Activity::running),
                     count(Activity::tripped));
}

Values Bench::values_of(const Procedure& procedure, const TicketFile& file, const Place& place,
                        const Choices& parameters) {
  Values values;
  static_cast<void>(fill_values({procedure, file.battery.nameplate, parameters, file.findings,
                                 place.instruments().reach(), std::nullopt},
                                values));
  return values;
}

Airflow Bench::air_taken() const {
  Airflow sum;
  for (const auto& each : places_) {
    if (each->run() != nullptr) sum.m3_per_h += each->run()->order().air.m3_per_h;
  }
  return sum;
}

Result<void> Bench::has_air(const TicketFile& file, Airflow needed) const {
  const auto& declared = settings_.precautions.airflow;
  if (needed.m3_per_h <= 0.0 || !declared) return {};
  const double taken = air_taken().m3_per_h;
  if (taken + needed.m3_per_h <= declared->m3_per_h) return {};
  return fail(
      Errc::conflict,
      fmt::format("this charge needs {:.1f} m3/h of fresh air, those that go on {:.1f} m3/h, and the bench "
                  "has {:.1f} m3/h",
                  needed.m3_per_h, taken, declared->m3_per_h),
      shown(file.ticket.id),
      "wait until another charge has ended, or ventilate better and declare it: airflow_m3_per_h");
}

void Bench::find_twins() {
  const auto is_blind = [](const Instrument& one) { return !one.profile().identity.pin_serial; };
  const std::vector<WatchedAt> all = watches();
  for (const WatchedAt& each : all) {
    const Instrument& one = each.watch->instrument();
    const auto twin = std::ranges::find_if(all, [&](const WatchedAt& at) {
      const Instrument& other = at.watch->instrument();
      return &other != &one && other.profile().name == one.profile().name && other.unit() == one.unit() &&
             is_blind(other);
    });
    if (each.place.empty() || !is_blind(one) || twin == all.end()) continue;
    const bool is_modbus = one.profile().dialect == DialectKind::modbus;
    Sentence notice =
        say("twins",
            "{instrument} and {twin} are of one kind and state no serial number: nobody sees it if they "
            "change places. ",
            {said_words("instrument", one.name()), said_words("twin", twin->watch->instrument().name())});
    if (is_modbus) {
      notice.say("twins_same_unit", "Both are unit {unit}: give each a number of its own",
                 {said_count("unit", one.unit())});
    } else {
      notice.say("twins_serial", "Pin the serial number in the profile if they have one");
    }
    notice.say("twins_label", ", name each link by its socket (by-path), and label unit, cable and socket");
    twins_[each.place].push_back(std::move(notice));
  }
}

std::vector<Sentence> Bench::precautions_at(const Place& place, const TicketFile* file) const {
  std::vector<Sentence> notices;
  if (file != nullptr && place.run() == nullptr) {
    if (Sentence gas = gas_off(*file).warning(clocks_.bench); !gas.empty()) notices.push_back(std::move(gas));
  }
  if (const auto twins = twins_.find(place.name()); twins != twins_.end()) {
    notices.insert(notices.end(), twins->second.begin(), twins->second.end());
  }
  if (place.run() == nullptr || settings_.precautions.airflow) return notices;
  const double needed = place.run()->order().air.m3_per_h;
  if (needed > 0.0) {
    notices.push_back(
        say("airflow_not_declared",
            "the airflow of this bench is not declared: this charge needs {airflow} of fresh air",
            {said_amount("airflow", needed, 1, "m3/h")}));
  }
  return notices;
}

}  // namespace leadwright
