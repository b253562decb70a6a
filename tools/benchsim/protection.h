// SPDX-License-Identifier: Apache-2.0
// One limit of an instrument that switches it off by itself, as its words or registers set it: level, state,
// tripped until cleared. The limit itself acts in terminals.h.
#pragma once

#include <functional>
#include <optional>
#include <type_traits>

#include "tools/benchsim/sim_instrument.h"

namespace leadwright {

class Protection {
 public:
  /// `limit()` is the limit in the circuit that the instrument's leads are on.
  template <class Limit>
  Protection(SimInstrument& whole, double level_max, Limit limit)
      : level_max_(level_max),
        level_(level_max),
        apply_([&whole, limit](std::optional<double> level) {
          auto& acting = limit().limit;
          using Value = typename std::decay_t<decltype(acting)>::value_type;
          acting.reset();
          if (level && !whole.has_fault(SimFault::ignores_trips)) acting = Value(*level);
          whole.posts().changed();
        }),
        tripped_([limit]() -> bool& { return limit().tripped; }) {}

  double level_max() const { return level_max_; }
  double level() const { return level_; }
  bool is_enabled() const { return is_enabled_; }
  void set_level(double level) { set(level, is_enabled_); }
  void enable(bool enabled) { set(level_, enabled); }
  bool is_tripped() const { return tripped_(); }
  void clear() { tripped_() = false; }
  /// Off and cleared, as at power-up.
  void reset() {
    clear();
    set(level_max_, false);
  }
  /// The circuit is another, or acts otherwise than before.
  void refresh() { set(level_, is_enabled_); }

 private:
  void set(double level, bool enabled) {
    level_ = level;
    is_enabled_ = enabled;
    apply_(enabled ? std::optional<double>(level) : std::nullopt);
  }

  double level_max_;
  double level_;
  bool is_enabled_ = false;
  std::function<void(std::optional<double>)> apply_;
  std::function<bool&()> tripped_;
};

}  // namespace leadwright
