// SPDX-License-Identifier: Apache-2.0
// A trace as CSV for a replayed battery: what is taken gives a battery whose voltage is always one of the
// file.
#include <algorithm>
#include <cmath>
#include <memory>

#include "tests/fuzz/target.h"
#include "tools/benchsim/replay_battery.h"

namespace leadwright {
namespace {

constexpr Ampere draw{25.0};

void check_taken(const ReplayTrace& trace) {
  promise(!trace.delivered.empty() && trace.delivered.size() == trace.volts.size(), "a volt for each charge");
  promise(std::is_sorted(trace.delivered.begin(), trace.delivered.end()), "charge rises");
  promise(trace.delivered.front().si() >= 0.0 && std::isfinite(trace.delivered.back().si()),
          "charge is finite");
  promise(trace.cells == 3 || trace.cells == 6, "a block has three or six cells");
  const auto [lowest, highest] = std::minmax_element(trace.volts.begin(), trace.volts.end());
  const Volt rounding(1e-9 * (1.0 + std::max(std::abs(lowest->si()), std::abs(highest->si()))));
  promise(*highest <= trace.highest, "rest is the highest of the file");

  ReplayBattery battery(std::make_shared<const ReplayTrace>(trace));
  promise(std::isfinite(battery.truth_at_25a().si()) && battery.truth_at_25a().si() >= 0.0,
          "the truth is a time");
  const Second sixth = trace.delivered.back() / draw / 6.0;
  for (int i = 0; i < 5; ++i) {
    const Volt volts = battery.terminal(draw);
    promise(volts >= *lowest - rounding && volts <= *highest + rounding, "volts are within the file's");
    promise(battery.terminal(Ampere(0.0)) == trace.highest, "without a draw it stands at rest");
    battery.advance(sixth, draw);
  }
  battery.advance(sixth * 2.0 + Second(10.0), draw);
  promise(battery.terminal(draw) <= trace.volts.back(), "beyond the file it falls");
  promise(!battery.description().empty(), "a battery can be described");
}

}  // namespace
}  // namespace leadwright

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using leadwright::promise;
  const auto trace = leadwright::parse_replay(leadwright::text_of(data, size), "fuzz.csv");
  if (trace) {
    leadwright::check_taken(*trace);
  } else {
    promise(trace.error().code == leadwright::Errc::bad_input, "a refusal is bad input");
    promise(trace.error().where.starts_with("fuzz.csv"), "a refusal names the file");
  }
  return 0;
}
