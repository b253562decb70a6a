// SPDX-License-Identifier: Apache-2.0
#include "daemon/switchgear/leads.h"

#include <fmt/format.h>

#include <algorithm>

namespace leadwright {

namespace {

constexpr Second look_period{0.2};

/// Bench time between two looks; longer where a look of machine time is many seconds of it.
Second period_of(const Clocks& clocks) {
  return look_period * std::max(1.0, clocks.bench.scale() / 10.0);
}

bool is_dead(Volt volts) {
  return abs(volts) < dead_volts_max;
}

/// Looks until the leads are dead, or alive, as wanted. What it read last, wanted or not; nothing where the
/// meter answered without volts.
Task<Result<std::optional<Volt>>> await_leads(InstrumentWatch& meter, bool dead, Second within,
                                              Clocks clocks) {
  const Instant until = clocks.bench.now() + within;
  while (true) {
    const Result<Reading> reading = co_await meter.instrument().sample();
    meter.asked(reading ? nullptr : &reading.error());
    const bool is_wanted = reading && reading->volts && is_dead(*reading->volts) == dead;
    if (is_wanted || clocks.bench.now() >= until) {
      if (!reading) co_return tl::unexpected<Error>(reading.error());
      co_return reading->volts;
    }
    co_await clocks.bench.sleep_for(period_of(clocks));
  }
}

}  // namespace

Task<Result<void>> await_dead(InstrumentWatch& meter, Clocks clocks) {
  const auto volts = co_await await_leads(meter, true, dead_within, clocks);
  if (!volts) co_return tl::unexpected<Error>(volts.error());
  const std::string& name = meter.instrument().name();
  if (!*volts) co_return fail(Errc::not_verified, "no voltage can be read", name, "check its sense leads");
  if (is_dead(**volts)) co_return Result<void>();
  co_return fail(Errc::not_verified,
                 fmt::format("it still reads {:.2f} V with every contact open", (*volts)->si()), name,
                 "a contact is welded: disconnect by hand, then renew it");
}

Task<Result<void>> await_battery(InstrumentWatch& meter, Clocks clocks) {
  const auto volts =
      co_await await_leads(meter, false, std::max(battery_within, period_of(clocks) * 3.0), clocks);
  if (!volts) co_return tl::unexpected<Error>(volts.error());
  if (*volts && !is_dead(**volts)) co_return Result<void>();
  co_return fail(Errc::refused, "it reads no battery although its contact is closed",
                 meter.instrument().name(),
                 "check that a battery is clamped on, then the fuse, the contact and the leads");
}

}  // namespace leadwright
