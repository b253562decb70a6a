// SPDX-License-Identifier: Apache-2.0
#include "daemon/switchgear/connection.h"

#include <fmt/format.h>

namespace leadwright {

namespace {

Result<void> same_time(const Instrument& instrument, BenchKind bench) {
  const double scale = bench.clocks.bench.scale();
  const std::optional<double> simulated =
      instrument.identity() ? instrument.identity()->simulated_scale : std::nullopt;
  if (simulated.has_value() == bench.simulated && simulated.value_or(scale) == scale) return {};
  const std::string what =
      simulated ? fmt::format("a simulated instrument (time x {:.0f})", *simulated) : "a real instrument";
  const std::string where =
      bench.simulated ? fmt::format("a simulated bench (time x {:.0f})", scale) : "a real bench";
  return fail(Errc::refused, what + " on " + where, instrument.name(),
              "use one kind of instrument, and the bench_time.toml that benchsim wrote");
}

}  // namespace

Task<Result<void>> connect(InstrumentWatch& watch, BenchKind bench) {
  watch.connecting();
  Instrument& instrument = watch.instrument();
  Result<void> connected = co_await instrument.connect();
  if (connected) {
    connected = same_time(instrument, bench);
    if (!connected) instrument.close();
  }
  watch.asked(connected ? nullptr : &connected.error());
  co_return connected;
}

Task<void> look_at(InstrumentWatch& watch) {
  Instrument& instrument = watch.instrument();
  if (instrument.profile().role == Role::digital_io) {
    const Result<bool> state = co_await instrument.read_output(0);
    watch.asked(state ? nullptr : &state.error());
    co_return;
  }
  const Result<Reading> reading = co_await instrument.sample();
  watch.asked(reading ? nullptr : &reading.error());
}

}  // namespace leadwright
