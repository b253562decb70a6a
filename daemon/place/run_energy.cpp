// SPDX-License-Identifier: Apache-2.0
// Energy on and off within a run: programme and verify the limits, ramp, disable.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "daemon/place/label_values.h"
#include "daemon/place/reach.h"
#include "daemon/place/run.h"

namespace leadwright {

namespace {
/// A draw goes on in these stages and stops on collapse (design.md, section 6).
constexpr std::array<Ampere, 2> ramp_stages{Ampere(1.0), Ampere(5.0)};
constexpr Second ramp_hold{2.0};
/// A battery that does not show its polarity gets no more than this before it holds a voltage, a minute at a
/// time, for ten minutes at most (common practice, no source).
constexpr Ampere probe_amps{1.0};
constexpr Second probe_on{60.0};
constexpr Second probe_off{5.0};
constexpr Second probe_max = minutes(10.0);
/// For a profile that does not say how its current follows.
constexpr Follow follow_default{Ampere(0.5), 0.03, Second(1.0)};

/// A unit that draws and gives has one set of limits: what a step of the other kind left may trip at once.
bool does_both(const Profile& profile) {
  return profile.has(Capability::draw) && profile.has(Capability::give);
}

Follow follow_of(const Instrument& instrument, Capability capability) {
  const Setting* setting = instrument.profile().setting(capability);
  return setting != nullptr && setting->follow ? *setting->follow : follow_default;
}
}  // namespace

Task<Result<void>> RunExecution::look_before(Energy energy) {
  if (may_energise && !may_energise()) {
    co_return fail(Errc::stopped, "nobody has confirmed to be at this place: " + attended_because(),
                   order_.run.place, "start it again when somebody is there");
  }
  // A plug may have changed places since the run began: what is switched on must be here.
  Result<void> same = co_await instruments_.check_identities();
  if (!same) co_return same;
  const Result<Sample> sample = co_await instruments_.sample(Energy::none, recorder_->started());
  if (!sample) co_return tl::unexpected<Error>(sample.error());
  if (order_.procedure->needs_thermometer && !sample->temperature) {
    co_return fail(Errc::refused, "the thermometer gives no reading: nothing is switched on without it",
                   order_.run.place, "check the thermometer and its cable");
  }
  if (const auto reason = breach(envelope_, *sample, energy, most_moved())) {
    halt(RunOutcome::tripped, *reason);
  }
  co_return Result<void>();
}

Task<Result<void>> RunExecution::begin_draw(Step& step) {
  Instrument& load = *instruments_.load();
  Result<void> looked = co_await look_before(Energy::draw);
  if (!looked || halted()) co_return looked;
  note_end_of(step);
  Result<void> armed = co_await load.arm_heartbeat();
  if (!armed) co_return armed;
  const Result<Ampere> chosen = choose_draw(step);
  if (!chosen) co_return tl::unexpected<Error>(chosen.error());
  const Ampere full = *chosen;
  const Ampere most = step.watts || step.ohms ? Ampere(value(*step.amps_max).value_or(full.si())) : full;
  Result<void> allowed = may_draw(most);
  if (!allowed) co_return allowed;
  if (load.profile().has(Capability::trip_amps)) {
    Result<void> tripped = co_await load.trip_amps(std::min(envelope_.amps_max, most * 1.1 + Ampere(1.0)));
    if (!tripped) co_return tripped;
  }
  if (does_both(load.profile()) && load.profile().has(Capability::trip_volts)) {
    Result<void> tripped = co_await load.trip_volts(envelope_.volts_max);
    if (!tripped) co_return tripped;
  }
  if (const Setting* setting = load.profile().setting(Capability::cutoff_volts)) {
    // Without one of the step it is the least that the load knows: an earlier step's would end this one.
    const Result<double> cutoff = step.cutoff ? value(*step.cutoff) : Result<double>(setting->min);
    if (!cutoff) co_return tl::unexpected<Error>(cutoff.error());
    Result<void> cut = co_await load.cutoff_volts(Volt(*cutoff));
    if (!cut) co_return cut;
  }
  if (load.profile().has(Capability::clear_faults)) {
    Result<void> cleared = co_await load.clear_faults();
    if (!cleared) co_return cleared;
  }
  frozen_ = FrozenWatch(load.profile().frozen_after);
  recheck_due_ = clocks_.bench.now() + load.profile().recheck;
  Result<void> ramped = co_await ramp(step, full);
  co_return ramped;
}

Task<Result<void>> RunExecution::set_draw(Ampere amps) {
  Instrument& load = *instruments_.load();
  Result<void> set = co_await load.set_amps(amps);
  if (!set) co_return set;
  set_amps_ = amps;
  watches_.begin_draw();
  follow_.set(amps, clocks_.bench.now(), follow_of(load, Capability::set_amps), true);
  co_return Result<void>();
}

Result<void> RunExecution::may_draw(Ampere full) const {
  if (full <= light_draw_max) return {};
  if (const Second left = order_.gas_off.left(clocks_.bench); left > Second(0.0)) {
    return fail(
        Errc::refused,
        fmt::format("no draw above {:.0f} A while the gas of the charge has not gone: {:.0f} min left",
                    light_draw_max.si(), std::ceil(as_minutes(left))),
        order_.run.place, "let it rest, then start again");
  }
  if (!order_.shield_confirmed) {
    return fail(Errc::refused, fmt::format("{:.0f} A are drawn behind a closed shield only", full.si()),
                order_.run.place, "close the shield and say so when the place asks");
  }
  return {};
}

Task<Result<void>> RunExecution::ramp(const Step& step, Ampere full) {
  Instrument& load = *instruments_.load();
  std::vector<Ampere> stages;
  for (const Ampere stage : ramp_stages) {
    if (stage < full) stages.push_back(stage);
  }
  stages.push_back(full);
  for (const Ampere stage : stages) {
    Result<void> set = co_await set_draw(stage);
    if (!set) co_return set;
    if (halted()) co_return Result<void>();
    ramp_amps_ = stage;
    if (energy_ == Energy::none) {
      // The deadman is armed before the first ampere can flow.
      energy_ = Energy::draw;
      load.set_energised(true);
      good_at_ = clocks_.bench.now();
      arm_stale();
      Result<void> on = co_await load.enable(Capability::draw, true);
      if (!on) {
        co_await blame_ramp(step, stage, on.error());
        co_return halted() ? Result<void>() : on;
      }
    }
    if (stage == full) {
      // Watched for collapse as the smaller stages are: a bad clamp may carry 5 A and not 25.
      co_await take_sample();
      break;
    }
    const Instant until = clocks_.bench.now() + ramp_hold;
    while (!halted() && clocks_.bench.now() < until) {
      const bool taken = co_await take_sample();
      if (!halted() && taken && is_off_by_itself(stage)) {
        const bool cut_off = co_await cut_off_by_instrument();
        if (cut_off) blame_cut_off(step, stage);
      }
      if (halted()) break;
      const Instant next = clocks_.bench.now() + std::max(Second(0.5), instruments_.period_min());
      co_await wake_.wait_until(next);
    }
    if (halted()) co_return Result<void>();
  }
  ramp_amps_.reset();
  watches_.begin_draw();
  co_return Result<void>();
}

Task<Result<void>> RunExecution::begin_charge(const Step& step) {
  Instrument& charger = *instruments_.charger();
  Result<void> looked = co_await look_before(Energy::charge);
  if (!looked || halted()) co_return looked;
  Result<void> armed = co_await charger.arm_heartbeat();
  if (!armed) co_return armed;
  const Result<double> volts = value(*step.volts);
  const Result<double> amps = value(*step.amps);
  if (!volts) co_return tl::unexpected<Error>(volts.error());
  if (!amps) co_return tl::unexpected<Error>(amps.error());
  if (Volt(*volts) > envelope_.volts_max) {
    co_return fail(Errc::refused,
                   fmt::format("the step charges to {:.2f} V, the envelope ends at {:.2f} V", *volts,
                               envelope_.volts_max.si()),
                   order_.procedure->file, "lower the charge voltage of the procedure");
  }
  Result<void> able = can_charge(charger.profile(), Volt(*volts));
  if (!able) co_return able;
  Ampere limit = charge_limit(charger.profile(), Volt(*volts), Ampere(*amps));
  if (step.watts) {
    const Result<double> watts = value(*step.watts);
    if (!watts) co_return tl::unexpected<Error>(watts.error());
    limit = std::min(limit, Watt(*watts) / Volt(*volts));
  }
  if (charger.profile().has(Capability::trip_volts)) {
    Result<void> tripped = co_await charger.trip_volts(envelope_.volts_max);
    if (!tripped) co_return tripped;
  }
  if (does_both(charger.profile()) && charger.profile().has(Capability::trip_amps)) {
    Result<void> tripped = co_await charger.trip_amps(limit * 1.1 + Ampere(1.0));
    if (!tripped) co_return tripped;
  }
  if (charger.profile().has(Capability::clear_faults)) {
    Result<void> cleared = co_await charger.clear_faults();
    if (!cleared) co_return cleared;
  }
  Result<void> set = co_await charger.set_volts(Volt(*volts));
  if (!set) co_return set;
  if (result_.last_volts.value_or(polarity_min) < polarity_min) {
    Result<void> probed = co_await probe(std::min(limit, probe_amps));
    if (!probed || halted()) co_return probed;
  }
  Result<void> given = co_await give(limit);
  co_return given;
}

Task<Result<void>> RunExecution::give(Ampere limit) {
  Instrument& charger = *instruments_.charger();
  Result<void> limited = co_await charger.limit_amps(limit);
  if (!limited || halted()) co_return limited;
  follow_.set(limit, clocks_.bench.now(), follow_of(charger, Capability::limit_amps), false);
  watches_.begin_charge(limit);
  frozen_ = FrozenWatch(charger.profile().frozen_after);
  recheck_due_ = clocks_.bench.now() + charger.profile().recheck;
  energy_ = Energy::charge;
  charger.set_energised(true);
  good_at_ = clocks_.bench.now();
  arm_stale();
  Result<void> on = co_await charger.enable(Capability::give, true);
  co_return on;
}

Task<Result<void>> RunExecution::probe(Ampere limit) {
  Instrument& charger = *instruments_.charger();
  const Instant deadline = clocks_.bench.now() + probe_max;
  while (clocks_.bench.now() < deadline) {
    Result<void> given = co_await give(limit);
    if (!given) co_return given;
    for (const auto& [lasts, is_on] : {std::pair(probe_on, true), std::pair(probe_off, false)}) {
      if (!is_on) co_await de_energise();
      const Instant until = clocks_.bench.now() + lasts;
      while (!halted() && clocks_.bench.now() < until) {
        co_await take_sample();
        if (halted()) break;
        co_await wake_.wait_until(clocks_.bench.now() + std::max(Second(0.5), instruments_.period_min()));
      }
      if (halted()) co_return Result<void>();
    }
    const Volt held = result_.last_volts.value_or(Volt(0.0));
    if (held < Volt(0.0) - polarity_min) break;
    if (held > polarity_min) {
      watches_.begin_run(assumed_capacity(order_.battery.nameplate), order_.battery.nameplate.cells, held,
                         recorder_->trace().samples.back().temperature);
      Result<void> armed = co_await charger.arm_heartbeat();
      co_return armed;
    }
    Result<void> armed = co_await charger.arm_heartbeat();
    if (!armed) co_return armed;
  }
  co_return fail(Errc::stopped,
                 fmt::format("takes no charge: after {:.0f} min of at most {:.0f} A it holds {:.2f} V",
                             as_minutes(probe_max), limit.si(), result_.last_volts.value_or(Volt(0.0)).si()),
                 order_.run.place, "check the clamps; a battery that stays there is for the recycler");
}

Task<void> RunExecution::de_energise() {
  ramp_amps_.reset();
  if (energy_ == Energy::none) co_return;
  stale_timer_.cancel();
  const Result<void> off = co_await instruments_.make_safe();
  active()->set_energised(false);
  if (energy_ == Energy::charge) result_.charged_at = order_.gas_off.charged_at = clocks_.bench.now();
  energy_ = Energy::none;
  if (!off) shout(off.error());
}

}  // namespace leadwright
