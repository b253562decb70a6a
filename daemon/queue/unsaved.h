// SPDX-License-Identifier: Apache-2.0
// Changes that the bench shows and the store refused: kept, brought up to date and written again until the
// store takes them, so that a full disk costs no result. Owned by the bench. Thread: control. Never: gives
// up, and never writes an old state of a ticket over a newer one.
#pragma once

#include <functional>
#include <string>

#include "daemon/clock/clock.h"
#include "daemon/queue/ledger.h"

namespace leadwright {

class Unsaved {
 public:
  /// Machine time between two attempts.
  static constexpr Second try_again_every{1.0};

  Unsaved(Ledger& ledger, Clock& machine, Store& store)
      : ledger_(ledger), machine_(machine), store_(store), timer_(machine) {}

  void add(Batch batch);
  bool empty() const { return batch_.empty() && !is_writing_; }
  /// The trip of a place as it is now. Must be set before the first add().
  std::function<std::string(const std::string& place)> trip_of;
  /// The store took all of it.
  std::function<void()> on_saved;

 private:
  void try_again();
  void written(const Result<void>& result);
  void bring_up_to_date();

  Ledger& ledger_;
  Clock& machine_;
  Store& store_;
  Timer timer_;
  Batch batch_;    ///< in the order in which it was refused
  Batch writing_;  ///< a copy of what the store has now
  bool is_writing_ = false;
};

}  // namespace leadwright
