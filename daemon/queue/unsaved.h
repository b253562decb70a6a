// SPDX-License-Identifier: Apache-2.0
// Changes that the bench shows and the store refused: kept, brought up to date and written again until the
// store takes them, so that a full disk costs no result. Owned by the bench, which lets nothing new begin
// while it is full. Thread: control. Never: gives up, and never writes an old state of a ticket over a newer
// one.
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
  /// Records that may wait before nothing new may begin: some megabytes, and a millisecond of each attempt
  /// (our own number).
  static constexpr std::size_t full_at = 5000;
  /// What still comes after that, stops and acknowledgements, is kept up to here; audit rows beyond it are
  /// counted, and one row says how many there were.
  static constexpr std::size_t rows_max = 2 * full_at;

  Unsaved(Ledger& ledger, Clock& machine, Store& store)
      : ledger_(ledger), machine_(machine), store_(store), timer_(machine) {}

  void add(Batch batch);
  bool empty() const { return batch_.empty() && !is_writing_; }
  std::size_t size() const { return batch_.size() + (is_writing_ ? writing_.size() : 0); }
  bool is_full() const { return size() >= full_at; }
  /// Audit rows that were not kept since the last time the store took all.
  std::size_t rows_lost() const { return rows_lost_; }
  /// The trip of a place as it is now. Must be set before the first add().
  std::function<std::string(const std::string& place)> trip_of;
  /// The store took all of it.
  std::function<void()> on_saved;

 private:
  void try_again();
  void written(const Result<void>& result);
  /// Battery, ticket, run, place and person: one record of each, since all of them are written as they are
  /// now.
  void drop_earlier_versions();
  void bring_up_to_date();

  Ledger& ledger_;
  Clock& machine_;
  Store& store_;
  Timer timer_;
  Batch batch_;    ///< in the order in which it was refused
  Batch writing_;  ///< a copy of what the store has now
  bool is_writing_ = false;
  std::size_t rows_lost_ = 0;
};

}  // namespace leadwright
