// SPDX-License-Identifier: Apache-2.0
// A load or charger that serves several places through selector contacts, one place at a time: an exclusive
// lease, break before make, and the position proved by voltage. Two contacts closed at once would join two
// batteries, which exchange a hundred amperes and more. Owned by the bench. Thread: control. Never: closes a
// contact while it can't prove that the others are open. Read next: contact.h, ../place/instruments.h.
#pragma once

#include <deque>
#include <memory>
#include <string>
#include <vector>

#include "daemon/switchgear/contact.h"

namespace leadwright {

class SharedInstrument {
 public:
  /// Machine time between two looks while nobody has the lease.
  static constexpr Second idle_period{1.0};

  SharedInstrument(std::unique_ptr<Instrument> instrument, BenchKind bench);

  const std::string& name() const { return instrument_->name(); }
  Instrument& instrument() { return *instrument_; }
  InstrumentWatch& watch() { return watch_; }
  void add_way(std::string place, Contact contact) { ways_.push_back({std::move(place), contact}); }
  /// Starts its coroutine: connects, which makes it safe, and looks at it while nobody has the lease.
  void open();

  /// Why no place can have it, or nothing. While a place has it: nothing.
  std::string problem() const;
  /// The place that has the lease; empty if none has.
  const std::string& holder() const { return holder_; }

  /// Takes the lease if it is free and nobody asked before `place`; else `place` waits for its turn.
  bool take(const std::string& place);
  /// No longer waits, or gives the lease back. A contact must be open by then.
  void give(const std::string& place);

  /// Off, every contact read back as open and its leads dead, then `place`'s contact closed. Fails with
  /// not_verified if a contact is welded or does not close, or the instrument can't be read.
  Task<Result<void>> join(std::string place);
  /// Off, the contact opened and read back, the leads dead.
  Task<Result<void>> part(std::string place);
  /// The off path of the contact of the place that has the lease.
  void open_now() noexcept;

 private:
  struct Way {
    std::string place;
    Contact contact;
  };
  Task<void> live_on();
  Task<Result<void>> prove_dead();
  std::string contacts() const;

  std::unique_ptr<Instrument> instrument_;
  InstrumentWatch watch_;
  BenchKind bench_;
  std::vector<Way> ways_;
  std::string holder_;
  std::deque<std::string> waiting_;
  Signal wake_;
  bool is_looked_at_ = false;
  std::string problem_ = "connecting";
  Job job_;
};

}  // namespace leadwright
