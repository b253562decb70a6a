// SPDX-License-Identifier: Apache-2.0
// All watches over a run while energy flows, each fed what it looks at. Owned by the run. Thread: control.
// Read next: heat_watch.h, volts_watch.h; watch.h has those over the instruments.
#pragma once

#include "daemon/place/envelope.h"
#include "daemon/place/heat_watch.h"
#include "daemon/place/volts_watch.h"

namespace leadwright {

/// What a watch says: the sentence, and whether the place trips or only the run ends.
struct WatchAlarm {
  bool trips = true;
  Sentence sentence;
};

class RunWatches {
 public:
  /// What is known before the first energy of a run.
  void begin_run(Coulomb capacity, int cells, std::optional<Volt> rested, std::optional<Celsius> temperature);
  /// A charge at up to `limit` begins.
  void begin_charge(Ampere limit);
  /// A draw has reached its full current.
  void begin_draw();
  /// Another meter read the posts while the load drew.
  std::optional<WatchAlarm> check_senses(const Sample& working, Volt other);

  /// Not while a draw ramps up. The worst that was seen in this sample, or nothing.
  std::optional<WatchAlarm> check(const Sample& sample, Energy energy);

 private:
  std::optional<Sentence> check_heat(const Sample& sample, Energy energy);

  int cells_ = 6;
  RiseWatch rise_;
  WarmthWatch warmth_;
  RunawayWatch runaway_;
  StillThermometerWatch still_;
  ClampWatch clamp_;
  LostCurrentWatch lost_;
  EndedCurrentWatch ended_;
  SensesWatch senses_;
  FallingVoltsWatch falling_;
};

}  // namespace leadwright
