// SPDX-License-Identifier: Apache-2.0
// What the bench keeps for the sake of people: the gas of a charge, and whether each place was watched.
#include <fmt/format.h>

#include <algorithm>

#include "daemon/queue/bench.h"

namespace leadwright {

GasOff Bench::gas_off(const TicketFile& file) const {
  return {settings_.precautions.gas_off, file.charged_at};
}

Result<std::string> Bench::unclamped(const TicketFile& file, const std::string& why) const {
  const auto at =
      std::ranges::find_if(places_, [&file](const auto& each) { return each->name() == file.ticket.place; });
  const bool is_clamped = at != places_.end() && (*at)->kind() != PlaceKind::shelf;
  const std::string gas = is_clamped ? gas_off(file).warning(clocks_.bench.utc()) : std::string();
  if (gas.empty()) return why;
  if (why.empty()) {
    return fail(Errc::conflict, gas, shown(file.ticket.id),
                "wait until then; if it must come off now, ventilate, make no spark, and say why: leadwright "
                "ticket move or close, --why");
  }
  return fmt::format("{} (unclamped {:.0f} min before the gas had gone)", why,
                     as_minutes(gas_off(file).left(clocks_.bench.utc())));
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

}  // namespace leadwright
