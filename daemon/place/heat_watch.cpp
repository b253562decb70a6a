// SPDX-License-Identifier: Apache-2.0
// Marks: F found in public text, P common practice without a source, M from memory, C calculated.
#include "daemon/place/heat_watch.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace leadwright {

namespace {

/// One reading may be a flipped digit.
constexpr int readings_agreeing = 2;

constexpr Second rise_window = minutes(10.0);
/// P. C: 10 K in 10 min are about 250 W in a battery of 60 Ah (15 kJ/K); a draw of 25 A leaves some 20 W.
constexpr double rise_max_k = 10.0;

/// P: shared domain notes, section 7, T - ambient > 15 K.
constexpr double warmth_max_k = 15.0;
constexpr Celsius room_least{25.0};

/// P: shared domain notes, section 7, I up > 10 % in 10 min after the taper began while T rises.
constexpr Second runaway_window = minutes(10.0);
constexpr double runaway_factor = 1.10;
/// P: the same in a small current is the charger's own error.
constexpr Ampere runaway_least{0.2};
/// P: more than the digits of a thermometer wander.
constexpr double runaway_warmer_k = 0.5;
constexpr Second runaway_holds = minutes(1.0);
/// P: below this share of its limit the current tapers.
constexpr double taper_share = 0.9;
/// P: a current that was not a fiftieth higher for this long has stopped to rise. C: a tenth in 10 minutes is
/// as fast, so that a slower rise is no runaway, and a faster one waits for the longest start.
constexpr double still_rising_factor = 1.02;
constexpr Second start_settles = minutes(2.0);
constexpr Second start_longest = minutes(10.0);

/// P: 0.25 kg of battery an ampere-hour, 1 kJ/(kg K).
constexpr double heat_capacity_j_per_k_and_ah = 250.0;
/// C: Bode's voltage of a discharged cell, 1.98 V at 2.15 mol/kg, a little below; what reads less has lost
/// its acid's voltage and gets it back with the first charge.
constexpr Volt cell_flat{1.95};
/// P: what a cell's own voltage rises by from flat to full.
constexpr Volt cell_rise_max{0.15};
/// P: a block on a bench cools within hours.
constexpr Second cooling_time = hours(2.0);
/// P: thirty digits of a thermometer that shows tenths: room for every error of the two figures above.
constexpr double unseen_max_k = 3.0;
/// P: the case is that much later than the plates.
constexpr Second still_least = minutes(20.0);

}  // namespace

RiseWatch::RiseWatch() : coldest_(rise_window) {}

std::optional<Sentence> RiseWatch::check(Second at, Celsius temperature) {
  coldest_.add(at, temperature, temperature);
  const double risen = temperature.degc() - coldest_.lowest().value.degc();
  off_count_ = risen > rise_max_k ? off_count_ + 1 : 0;
  if (off_count_ < readings_agreeing) return std::nullopt;
  return say(
      "warms_too_fast", "the case warmed by {rise} to {case} within {time}: {limit} are the limit",
      {said_amount("rise", risen, 1, "K"), said_amount("case", temperature.degc(), 1, "degC"),
       said_amount("time", as_minutes(rise_window), 0, "min"), said_amount("limit", rise_max_k, 0, "K")});
}

std::optional<Sentence> WarmthWatch::check(Celsius temperature) {
  if (!room_) return std::nullopt;
  const Celsius room = std::max(*room_, room_least);
  off_count_ = temperature.degc() - room.degc() > warmth_max_k ? off_count_ + 1 : 0;
  if (off_count_ < readings_agreeing) return std::nullopt;
  return say("too_warm_to_charge", "the case is at {case}, {rise} above {room}, where a charge ends",
             {said_amount("case", temperature.degc(), 1, "degC"), said_amount("rise", warmth_max_k, 0, "K"),
              said_amount("room", room.degc(), 1, "degC")});
}

RunawayWatch::RunawayWatch() : least_(runaway_window) {}

void RunawayWatch::begin(Ampere limit) {
  limit_ = limit;
  tapers_ = false;
  began_at_.reset();
  last_ = highest_ = Ampere(0.0);
  least_.clear();
  since_.reset();
}

bool RunawayWatch::has_started(Second at, Ampere amps) {
  if (!began_at_) began_at_ = at;
  if (amps > highest_ * still_rising_factor) {
    highest_ = amps;
    risen_at_ = at;
  }
  const bool is_below = amps < limit_ * taper_share;
  return is_below && (at - risen_at_ >= start_settles || at - *began_at_ >= start_longest);
}

std::optional<Sentence> RunawayWatch::check(Second at, Ampere amps, Celsius temperature) {
  // Of two readings the higher: one low reading is a flipped digit.
  const Ampere agreed = std::max(amps, std::exchange(last_, amps));
  tapers_ = tapers_ || has_started(at, agreed);
  if (!tapers_) return std::nullopt;
  least_.add(at, agreed, temperature);
  const auto& least = least_.lowest();
  const bool rises = amps > least.value * runaway_factor && amps - least.value > runaway_least &&
                     temperature.degc() - least.with.degc() > runaway_warmer_k;
  if (!rises) since_.reset();
  if (rises && !since_) since_ = at;
  if (!since_ || at - *since_ < runaway_holds) return std::nullopt;
  return say("runs_away",
             "the charge current rose from {from} to {to} within {time} while the case warmed from {cool} to "
             "{warm}: "
             "the battery runs away",
             {said_amount("from", least.value.si(), 2, "A"), said_amount("to", amps.si(), 2, "A"),
              said_amount("time", as_minutes(runaway_window), 0, "min"),
              said_amount("cool", least.with.degc(), 1, "degC"),
              said_amount("warm", temperature.degc(), 1, "degC")});
}

void StillThermometerWatch::begin(Coulomb capacity, int cells, Volt rested) {
  capacity_ = capacity;
  lossless_ =
      std::max(rested, cell_flat * static_cast<double>(cells)) + cell_rise_max * static_cast<double>(cells);
}

std::optional<Sentence> StillThermometerWatch::check(Second at, Volt volts, Ampere amps,
                                                     Celsius temperature) {
  if (!lossless_) return std::nullopt;
  const Second passed = shown_ ? at - at_ : Second(0.0);
  at_ = at;
  const double heat_w = std::max(0.0, (volts - *lossless_).si()) * amps.si();
  const double settled_k =
      heat_w * cooling_time.si() / (heat_capacity_j_per_k_and_ah * as_ampere_hours(capacity_));
  warmer_k_ = settled_k + (warmer_k_ - settled_k) * std::exp(-passed / cooling_time);
  if (!shown_ || *shown_ != temperature) {
    shown_ = temperature;
    shown_since_ = at;
    warmer_then_k_ = warmer_k_;
    return std::nullopt;
  }
  const double unseen = std::abs(warmer_k_ - warmer_then_k_);
  if (unseen < unseen_max_k || at - shown_since_ < still_least) return std::nullopt;
  return say(
      "thermometer_still",
      "the thermometer has shown {case} for {time} while the current should have changed it by some "
      "{change}: it does not follow the battery",
      {said_amount("case", temperature.degc(), 2, "degC"),
       said_amount("time", as_minutes(at - shown_since_), 0, "min"), said_amount("change", unseen, 0, "K")});
}

}  // namespace leadwright
