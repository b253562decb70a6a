// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/terminals.h"

#include <algorithm>

namespace leadwright {

namespace {

constexpr Second step_energised_max{10.0};
constexpr Second step_near_cutoff_max{1.0};
constexpr Second idle_step_max{600.0};
constexpr Volt near_cutoff{1.0};
constexpr Volt least_for_drawing{0.3};  // a load can't pull its terminals to nothing
constexpr Celsius ambient{25.0};
constexpr int crossing_halvings = 40;
constexpr int solver_steps_max = 60;
constexpr Volt solver_close{1e-6};
constexpr double guess_margin = 0.01;

/// A battery out of which `beside` flows as well.
struct Loaded {
  const SimBattery& battery;
  Ampere beside;
  Volt terminal(Ampere discharge) const { return battery.terminal(discharge + beside); }
};

/// Current between `low` and `high` at which the battery shows `volts`; its voltage falls with the current,
/// and lies on both sides of `volts` at the ends. Regula falsi with halving of the stale end (Illinois),
/// first close to `guess`: the current of a moment ago.
Ampere current_at(const Loaded& battery, Volt volts, Ampere low, Ampere high, Ampere guess) {
  const Ampere near_low = std::max(low, guess - abs(guess) * guess_margin);
  const Ampere near_high = std::min(high, guess + abs(guess) * guess_margin);
  if (near_low < near_high) {
    (battery.terminal(near_low) > volts ? low : high) = near_low;
    if (low == near_low) (battery.terminal(near_high) < volts ? high : low) = near_high;
  }
  Volt above = battery.terminal(low) - volts;
  Volt below = battery.terminal(high) - volts;
  Ampere middle = low;
  int side = 0;
  for (int i = 0; i < solver_steps_max; ++i) {
    middle = low + (high - low) * (above / (above - below));
    const Volt miss = battery.terminal(middle) - volts;
    if (abs(miss) < solver_close) break;
    if (miss > Volt(0.0)) {
      low = middle;
      above = miss;
      if (side == 1) below = below / 2.0;
      side = 1;
    } else {
      high = middle;
      below = miss;
      if (side == -1) above = above / 2.0;
      side = -1;
    }
  }
  return middle;
}

}  // namespace

void Terminals::clamp(StandingBattery* battery, Instant now) {
  settle(now);
  battery_ = battery;
  settle(now);
  apply();
}

Celsius Terminals::temperature() const {
  return battery_ ? battery_->battery->temperature() : ambient;
}

void Terminals::isolate(bool is_isolated) {
  is_isolated_ = is_isolated;
  apply();
}

void Terminals::exchange(Ampere discharge) {
  exchange_ = discharge;
  apply();
}

void Terminals::settle(Instant now) {
  if (surroundings_) surroundings_->live_to(now);
  live_to(now);
}

void Terminals::live_to(Instant now) {
  for (Instant due = next_expiry(); due <= now; due = next_expiry()) {
    live_undisturbed(due);
    expire(due);
  }
  live_undisturbed(now);
}

void Terminals::live_undisturbed(Instant now) {
  if (!battery_ || battery_->lived_to >= now) return;
  while (battery_->lived_to < now) {
    step(now);
    apply();
  }
}

Instant Terminals::next_expiry() const {
  return std::min(load.off_at.value_or(Instant::never()), charger.off_at.value_or(Instant::never()));
}

void Terminals::expire(Instant now) {
  const auto end = [now](auto& circuit) {
    if (!circuit.off_at || *circuit.off_at > now) return;
    circuit.off_at.reset();
    circuit.expired = true;
    circuit.on = false;
  };
  end(load);
  end(charger);
  apply();
}

void Terminals::apply() {
  solve();
  while (protect()) solve();
}

void Terminals::solve() {
  const Ampere pushed_before = pushed_;
  drawn_ = pushed_ = Ampere(0.0);
  if (!has_way()) {
    volts_ = charger.on ? charger.volts : Volt(0.0);
    return;
  }
  const Loaded battery{*battery_->battery, exchange_};
  if (load.on && load.draw > Ampere(0.0)) {
    drawn_ = load.draw;
    if (battery.terminal(drawn_) < least_for_drawing) {
      const bool gives = battery.terminal(Ampere(0.0)) > least_for_drawing;
      drawn_ =
          gives ? current_at(battery, least_for_drawing, Ampere(0.0), load.draw, Ampere(0.0)) : Ampere(0.0);
    }
  }
  volts_ = battery.terminal(drawn_);
  if (!charger.on || charger.limit <= Ampere(0.0) || volts_ >= charger.volts) return;
  if (!battery.battery.charge_refusal().empty()) return;
  const Volt at_limit = battery.terminal(drawn_ - charger.limit);
  if (at_limit <= charger.volts) {
    pushed_ = charger.limit;
    volts_ = at_limit;
  } else {
    const Ampere guess = drawn_ - pushed_before;
    pushed_ = drawn_ - current_at(battery, charger.volts, drawn_ - charger.limit, drawn_, guess);
    volts_ = charger.volts;
  }
}

bool Terminals::protect() {
  const bool was_on = load.on || charger.on;
  const auto beyond = [](auto& protection, auto value) {
    if (!protection.limit || value <= *protection.limit) return false;
    return protection.tripped = true;
  };
  bool acted = false;
  if (load.on) {
    const bool low = has_way() && load.cutoff.limit && volts_ <= *load.cutoff.limit;
    if (low) {
      load.cutoff.tripped = true;
      load.cut_at = battery_->lived_to;
    }
    if (low || beyond(load.over_amps, drawn_) || beyond(load.over_volts, volts_)) {
      load.on = false;
      acted = true;
    }
  }
  if (charger.on && (beyond(charger.over_amps, pushed_) || beyond(charger.over_volts, volts_))) {
    charger.on = false;
    acted = true;
  }
  return was_on && acted;
}

bool Terminals::below_cutoff(const SimBattery& battery) const {
  return battery.terminal(drawn_ - pushed_ + exchange_) <= *load.cutoff.limit;
}

void Terminals::step(Instant now) {
  const Ampere net = drawn_ - pushed_ + exchange_;
  const bool guarded = load.on && load.cutoff.limit.has_value() && drawn_ > Ampere(0.0);
  const bool is_near = guarded && volts_ < *load.cutoff.limit + near_cutoff;
  const Second longest = net == Ampere(0.0) ? idle_step_max
                         : is_near          ? step_near_cutoff_max
                                            : step_energised_max;
  SimBattery& battery = *battery_->battery;
  const Instant from = battery_->lived_to;
  const Instant to = std::min(now, from + longest);
  if (!guarded || (!is_near && to - from <= step_near_cutoff_max)) {
    battery.advance(to - from, net);
    battery_->lived_to = to;
    return;
  }
  // Tried on copies: the battery itself stays the one that others know.
  const auto is_below_after = [&](Second time) {
    const std::unique_ptr<SimBattery> trial = battery.clone();
    trial->advance(time, net);
    return below_cutoff(*trial);
  };
  Second low;
  Second high = to - from;
  const bool crosses = is_below_after(high);
  for (int i = 0; crosses && i < crossing_halvings && as_ns(high - low) > 1; ++i) {
    const Second middle = (low + high) / 2.0;
    (is_below_after(middle) ? high : low) = middle;
  }
  battery.advance(high, net);
  battery_->lived_to = crosses ? from + high : to;
}

}  // namespace leadwright
