// SPDX-License-Identifier: Apache-2.0
// A place: shelf, charging place or bay, with the instruments it leases. For: the queue, which says what to
// run, and the page, which shows it. Owned by the bench. Thread: control; one coroutine a place. Never: lets
// a run begin before every instrument was made safe and read back. Read next: run.h, instruments.h.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "daemon/place/presence.h"
#include "daemon/place/run.h"
#include "daemon/settings/settings.h"

namespace leadwright {

enum class Activity { idle, connecting, ready, running, tripped, asking, out_of_service };
const char* word(Activity activity);

class Place;

/// Hears what happens at places. Called on control; must not destroy the place.
class PlaceEvents {
 public:
  virtual ~PlaceEvents() = default;
  virtual void run_ended(Place& place, RunResult result) = 0;
  /// Something a person could see has changed.
  virtual void place_changed(Place& place) = 0;
};

/// What the meters say now; missing where there is nothing to say.
struct LiveReading {
  std::optional<Volt> volts;
  std::optional<Ampere> amps;
  std::optional<Celsius> temperature;
};

class Place {
 public:
  /// Machine time between two looks at an idle place.
  static constexpr Second idle_period{1.0};

  /// `simulated`: the bench is, and takes simulated instruments only; else it takes none.
  Place(PlaceSettings settings, std::unique_ptr<PlaceInstruments> instruments, Clocks clocks, Store& store,
        PlaceEvents& events, bool simulated);

  const std::string& name() const { return settings_.name; }
  PlaceKind kind() const { return settings_.kind; }
  bool attended_only() const { return settings_.attended_only; }
  /// A person did something here. Answers the question whether one is there.
  void confirm_presence();
  Activity activity() const;
  const std::string& trip() const { return trip_.text(); }
  const Sentence& trip_said() const { return trip_; }
  /// What keeps the place from being ready, one sentence; empty if nothing does.
  const std::string& problem() const { return problem_; }
  const LiveReading& live() const { return live_; }
  const RunExecution* run() const { return execution_.get(); }
  /// What is energised here was not watched for longer than it may be: a bug of ours, or a hung machine.
  bool is_protection_overdue() const { return execution_ && execution_->is_protection_overdue(); }
  PlaceInstruments& instruments() { return *instruments_; }
  const PlaceInstruments& instruments() const { return *instruments_; }

  /// Looks at once, and from now on at this period while nothing runs. For rehearsals, where nobody watches
  /// an idle place for days.
  void look_every(Second period);
  /// Starts the place's coroutine: connects, makes safe, then looks at idle readings.
  void open();
  /// Fails with conflict while connecting, running, asking or tripped.
  Result<void> start(RunOrder order);
  /// Off at once. Fails with conflict if nothing runs.
  Result<void> stop(const Sentence& reason);
  /// Off and read back, until resume(). Fails with conflict as RunExecution::pause does, or if nothing runs.
  Result<void> pause(const Sentence& reason);
  Result<void> resume();
  bool is_out_of_service() const { return out_of_service_; }
  /// Out of service nothing starts here. Fails with conflict at a shelf, during a run, or if it is so
  /// already.
  Result<void> set_out_of_service(bool out);
  /// Off at once whatever happens here: synchronous, part of stop all.
  void stop_all(const Sentence& reason);

  const std::optional<Ask>& ask() const { return ask_; }
  void set_ask(std::optional<Ask> ask);
  /// Answers what a procedure's step asks. Fails with conflict if none does, with bad_input if the answer
  /// can't be taken.
  Result<void> answer(const std::string& words);
  /// As the place was before a restart.
  void restore(const PlaceRecord& record);
  /// Trips without a run's doing, or clears a trip after a person acknowledged it.
  void latch(const Sentence& trip);
  void unlatch();

 private:
  Task<void> live_on();
  Task<void> connect_all();
  Task<void> look();
  /// Current where nothing runs, whoever switched it on or kept it on: off again, and a trip if that fails.
  Task<void> end_stray_current();
  /// The same while the place waits for some of its instruments, of the others.
  Task<void> quieten_those_there();
  void shout(bool current_is_seen, const Error& why);
  bool is_equipped() const;
  bool is_attended_run() const;
  void ask_for_presence();
  void presence_lapsed();
  /// file:line:column of the configuration that names an instrument.
  std::string where_configured(const Instrument* instrument) const;

  PlaceSettings settings_;
  std::unique_ptr<PlaceInstruments> instruments_;
  Clocks clocks_;
  Store& store_;
  PlaceEvents& events_;
  bool simulated_;
  Second look_period_ = idle_period;
  Signal wake_;
  Sentence trip_;
  std::string problem_ = "connecting";
  bool ready_ = false;
  bool out_of_service_ = false;
  std::optional<Ask> ask_;
  LiveReading live_;
  Presence presence_;
  std::unique_ptr<RunExecution> execution_;
  Job job_;
};

}  // namespace leadwright
