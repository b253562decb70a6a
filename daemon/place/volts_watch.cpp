// SPDX-License-Identifier: Apache-2.0
// Marks: P common practice without a source, C calculated.
#include "daemon/place/volts_watch.h"

#include <algorithm>

namespace leadwright {

namespace {

/// C: 12 mOhm more at 25 A. P: a battery changes by millivolts from one sample to the next.
constexpr Volt step_least{0.3};
/// P: a cell that reverses goes on falling; a clamp is level before and after.
constexpr Volt level_max{0.05};
constexpr double same_amps_share = 0.02;
constexpr Second dense_max{2.0};

/// P: below this a charge may end in a sample.
constexpr Ampere current_least{1.0};
constexpr double gone_share = 0.05;
constexpr int gone_readings = 3;

/// Our own numbers: well above a charger's resolution, well below any charge.
constexpr Ampere charge_flows_min{0.2};
constexpr Ampere charge_ended_max{0.05};
/// One may be a flipped digit.
constexpr int ended_readings = 2;

/// P: as before a run (admission.cpp).
constexpr Volt meters_apart_max{0.15};
constexpr int senses_readings = 2;

/// P: less than this below its limit the charger is at constant current.
constexpr double constant_share = 0.97;
/// P: a sulphated battery takes current at a high voltage at first, which then falls.
constexpr Second falling_after = minutes(30.0);
constexpr Second falling_window = minutes(10.0);
/// P. C: a cell that shorts takes up to 2 V with it; 12 K of warmth take as much as this (-4 mV/K and cell).
constexpr Volt fallen_cell{0.05};
constexpr Second falling_holds = minutes(1.0);

}  // namespace

std::optional<Sentence> ClampWatch::check(Second at, Volt volts, Ampere amps) {
  const bool goes_on = count_ > 0 && at - seen_.back().at <= dense_max &&
                       abs(amps - seen_.back().amps) <= amps * same_amps_share;
  if (!goes_on) count_ = 0;
  std::rotate(seen_.begin(), seen_.begin() + 1, seen_.end());
  seen_.back() = {at, volts, amps};
  count_ = std::min(count_ + 1, seen_.size());
  if (count_ < seen_.size()) return std::nullopt;
  const auto by_volts = [](const Seen& a, const Seen& b) { return a.volts < b.volts; };
  const auto middle = seen_.begin() + seen_.size() / 2;
  const auto [before_min, before_max] = std::minmax_element(seen_.begin(), middle, by_volts);
  const auto [after_min, after_max] = std::minmax_element(middle, seen_.end(), by_volts);
  const bool rose = after_min->volts - before_max->volts > step_least;
  const bool fell = before_min->volts - after_max->volts > step_least &&
                    before_max->volts - before_min->volts < level_max &&
                    after_max->volts - after_min->volts < level_max;
  if (!rose && !fell) return std::nullopt;
  const Volt step = abs(after_min->volts - before_min->volts);
  return say(
      "clamp_steps",
      "the voltage stepped from {from} to {to} at a constant {amps}, {resistance} at a clamp: clean and "
      "reseat the clamps, then suspect a joint inside",
      {said_amount("from", before_min->volts.si(), 2, "V"), said_amount("to", after_min->volts.si(), 2, "V"),
       said_amount("amps", amps.si(), 0, "A"),
       said_amount("resistance", step.si() / amps.si() * 1000.0, 0, "mohm")});
}

std::optional<Sentence> LostCurrentWatch::check(Second at, Ampere amps) {
  const bool is_dense = at - last_at_ <= dense_max;
  last_at_ = at;
  if (amps >= last_ * gone_share || last_ < current_least || (!is_dense && gone_count_ == 0)) {
    last_ = amps;
    gone_count_ = 0;
    return std::nullopt;
  }
  if (++gone_count_ < gone_readings) return std::nullopt;
  return say("charge_current_lost",
             "the charge current fell from {from} to {to} at once, which no battery does: check the clamps "
             "first, then the charger",
             {said_amount("from", last_.si(), 2, "A"), said_amount("to", amps.si(), 2, "A")});
}

std::optional<Sentence> EndedCurrentWatch::check(Ampere amps) {
  const bool is_none = amps <= charge_ended_max;
  ended_count_ = is_none && (flowed_ || ended_count_ > 0) ? ended_count_ + 1 : 0;
  flowed_ = amps > charge_flows_min;
  if (ended_count_ < ended_readings) return std::nullopt;
  return say("charge_current_ended", "the charge current ended at once: check the clamps, then the charger");
}

std::optional<Sentence> SensesWatch::check(Volt working, Volt other, Ampere amps) {
  apart_count_ = abs(working - other) > meters_apart_max ? apart_count_ + 1 : 0;
  if (apart_count_ < senses_readings) return std::nullopt;
  return say(
      "senses_disagree",
      "two meters disagree at {amps}: {volts} and {other}: clean and reseat the clamps, one of them has "
      "no good contact",
      {said_amount("amps", amps.si(), 0, "A"), said_amount("volts", working.si(), 2, "V"),
       said_amount("other", other.si(), 2, "V")});
}

FallingVoltsWatch::FallingVoltsWatch() : highest_(falling_window) {}

void FallingVoltsWatch::begin(Ampere limit, int cells) {
  limit_ = limit;
  cells_ = cells;
  highest_.clear();
  constant_since_.reset();
  fallen_since_.reset();
}

std::optional<Sentence> FallingVoltsWatch::check(Second at, Volt volts, Ampere amps) {
  if (amps < limit_ * constant_share) {
    begin(limit_, cells_);
    return std::nullopt;
  }
  if (!constant_since_) constant_since_ = at;
  highest_.add(at, Volt(0.0) - volts, volts);
  const Volt highest = highest_.lowest().with;
  const bool has_fallen =
      at - *constant_since_ > falling_after && highest - volts > fallen_cell * static_cast<double>(cells_);
  if (!has_fallen) fallen_since_.reset();
  if (has_fallen && !fallen_since_) fallen_since_ = at;
  if (!fallen_since_ || at - *fallen_since_ < falling_holds) return std::nullopt;
  return say(
      "charge_volts_fall",
      "the voltage fell from {from} to {to} within {time} while {amps} went in: a cell shorts, or the "
      "battery runs hot",
      {said_amount("from", highest.si(), 2, "V"), said_amount("to", volts.si(), 2, "V"),
       said_amount("time", as_minutes(falling_window), 0, "min"), said_amount("amps", amps.si(), 1, "A")});
}

}  // namespace leadwright
