// SPDX-License-Identifier: Apache-2.0
// One run: a procedure executed for a ticket at a place, sample by sample, with the envelope first. Owned by
// the place. Thread: control. Never: awaits the store while energised, leaves an instrument on.
// Read next: envelope.h and watch.h (what stops it), recorder.h (its trace), place.h (who runs it).
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "daemon/battery/findings.h"
#include "daemon/place/admission.h"
#include "daemon/place/air.h"
#include "daemon/place/attendance.h"
#include "daemon/place/forecast_track.h"
#include "daemon/place/gas_off.h"
#include "daemon/place/instruments.h"
#include "daemon/place/label_values.h"
#include "daemon/place/recorder.h"
#include "daemon/place/run_watches.h"
#include "daemon/place/watch.h"

namespace leadwright {

/// "the daemon stopped during this run, and it does not go on: " and why.
Sentence not_gone_on(const Sentence& why);

/// A run that its daemon did not end, as far as it came.
struct Interruption {
  RunJournal journal;
  std::vector<Sample> samples;
  Second gap{0.0};              ///< from the journal until everything was off and read back
  Instant at;                   ///< that moment, on the bench's clock
  bool may_be_another = false;  ///< its volts can't tell its battery from another one, which may stand there
  /// From the journal until `now`, if nothing went on until then.
  Second gap_until(Instant now) const { return gap + (now - at); }
};

struct RunOrder {
  Run run;
  std::shared_ptr<const Procedure> procedure;
  Battery battery;
  EstimatorSettings estimator;
  std::optional<DesignCurve> design;  ///< as-new curve of the battery's design
  bool rested = false;
  std::optional<ExpectedVolts> expected;
  std::optional<Volt> same_battery_at;  ///< what it read when a person said that it is this ticket's
  bool cells_confirmed = false;
  Choices parameters;          ///< of the procedure, in SI; else its defaults
  std::vector<Finding> found;  ///< the ticket's findings so far
  bool polarity_confirmed = false;
  bool shield_confirmed = false;
  bool clamps_reseated = false;  ///< by a person, for this run
  bool place_is_attended_only = true;
  bool unattended_allowed = false;  ///< by the policy
  GasOff gas_off;
  Airflow air;                   ///< that its charges need
  double widen_meters_by = 1.0;  ///< their limits of error, where a calibration is overdue
  std::string started_by;
  std::vector<Person> people;  ///< whom it names and the store may not have yet
  /// It goes on with this instead of beginning anew; `expected` is what its battery must show.
  std::shared_ptr<const Interruption> from;
};

/// A draw ended because the voltage collapsed. By the clamps, or by the battery: a person reseats them before
/// it counts against the battery.
struct Collapse {
  Sentence what;
  Ampere stage;  ///< of the ramp
  Volt below;    ///< the voltage was no more than this
};

struct RunResult {
  Run run;
  std::vector<Finding> findings;
  std::vector<Fault> faults;
  std::optional<Ask> ask;             ///< the run did not begin: this question comes first
  bool began = false;                 ///< it was made durable as begun
  Sentence trip;                      ///< not empty: the place is tripped for this reason
  std::optional<Volt> last_volts;     ///< last reading with nothing on
  std::optional<Instant> charged_at;  ///< when the last charge of the run ended
  Coulomb moved{0.0};                 ///< net charge given by the battery
  int interruptions = 0;              ///< after which it went on
  Coulomb unmeasured{0.0};            ///< the most that went in meanwhile; positive
  std::optional<Collapse> collapse;
  std::string clamps_suspected;  ///< not empty: it ended because a bad clamp would look like this
  Trace trace;
};

struct RunProgress {
  std::string step;
  std::string what;
  Second elapsed{0.0};
  std::optional<Second> left;
  std::optional<Sentence> paused;  ///< why it stands still, everything off; missing if it does not
  std::optional<Volt> cutoff;
  std::optional<Forecast> forecast;  ///< of a draw at 25 A
};

class RunExecution {
 public:
  RunExecution(RunOrder order, PlaceInstruments& instruments, Clocks clocks, Store& store);

  Task<RunResult> execute();
  /// Off at once; the run ends as stopped with this reason.
  void stop(const Sentence& reason);

  /// Off, verified, and the clocks of the step stand still until resume(). Fails with conflict before the
  /// first step, when it is paused already, and in a draw, whose length is the result.
  Result<void> pause(const Sentence& reason);
  /// The step goes on where it stood; a charge begins with the same looks as at its start.
  Result<void> resume();

  /// Asked before anything is switched on. Unset: it may.
  std::function<bool()> may_energise;
  /// Told when a step asks a person, and with nothing when it no longer does.
  std::function<void(std::optional<Ask>)> on_question;
  /// Answers it. Fails with conflict if nothing is asked, with bad_input if the answer can't be taken.
  Result<void> answer(const std::string& words);
  bool is_energised() const { return energy_ != Energy::none; }
  /// Energised, and neither a good sample nor the end of a switching off came within the time that the
  /// deadman and make_safe() need: protection did not run.
  bool is_protection_overdue() const;
  /// Why somebody must be there, one sentence; empty if nobody need.
  const std::string& attended_because() const { return attended_because_; }

  const RunOrder& order() const { return order_; }
  const Trace* trace() const { return recorder_ ? &recorder_->trace() : nullptr; }
  RunProgress progress() const;

 private:
  struct Halt {
    RunOutcome outcome;
    Sentence reason;
  };

  Task<std::optional<Refusal>> admit();
  /// The voltage at which this step means to end, if it draws to one.
  std::optional<Volt> end_of(const Step& step) const;
  void note_end_of(const Step& step);
  RunSubject subject(std::optional<Celsius> case_temperature) const;
  /// By what is known of the battery now.
  void judge_attendance(std::optional<Volt> volts);
  /// Leases, contacts and the proof that they lead to a battery, before the first look at it.
  Task<std::optional<Refusal>> reach_battery();
  Task<void> leave_battery();
  /// Fails with timed_out if the store does not confirm in time. Before energy only.
  Task<Result<void>> make_durable(Batch batch);
  /// The run as far as it is; nothing where it would not be gone on with.
  std::optional<RunJournal> journal() const;
  /// As of the beginning of a step. In the store before anything is switched on.
  Task<void> keep_journal(StepKind kind);
  /// After admission: everything as the journal has it.
  void take_up(const Interruption& from);
  /// Not resumed after all: void, with the reason.
  void give_up(const Sentence& why);
  /// "resumed after an interruption of 12 s"; empty if it was never interrupted.
  Sentence resumed_words() const;
  /// Says so in a finding, and widens it by the charge that nobody measured.
  void mark_resumed(Finding& finding) const;
  /// What was moved, with what may have gone in unmeasured where that makes it more.
  Coulomb most_moved() const;
  /// The values if all of that went in.
  Values values_at_most() const;
  Task<void> run_steps();
  Task<void> run_step(std::size_t index);
  /// Steps that take no time: state, decide.
  void think(const Step& step);
  void decide(const Step& step);
  void state_fault(const Step& step);
  Task<void> ask(const Step& step);
  Task<void> pulse(const Step& step);
  /// Samples until that bench time. True if the step or the run ended meanwhile.
  Task<bool> sample_for(const Step& step, Instant until);
  /// Sets the current of a draw that is on, and what it must follow.
  Task<Result<void>> set_draw(Ampere amps);
  /// The current to which a draw or pulse is set first; by `instead` where the load can't do the step.
  Result<Ampere> choose_draw(Step& step);
  /// A draw by power or resistance: the current follows the voltage.
  Task<void> regulate(const Step& step);
  Ampere regulated(const Step& step, Volt volts) const;
  void keep(const Step& step);
  void enter_frame(const Step& step);
  /// The envelope and the thermometer, before the first ampere: no sensor, no energy.
  Task<Result<void>> look_before(Energy energy);
  Task<Result<void>> begin_draw(Step& step);
  /// Gas and shield, whatever the draw was expected to be before the run.
  Result<void> may_draw(Ampere full) const;
  Task<Result<void>> ramp(const Step& step, Ampere full);
  Task<Result<void>> begin_charge(const Step& step);
  /// The charger on, its voltage set, up to `limit`.
  Task<Result<void>> give(Ampere limit);
  /// A battery too flat to show its polarity gets a little and is looked at with nothing on, until it holds
  /// more than polarity_min. Fails with stopped if it does not in time.
  Task<Result<void>> probe(Ampere limit);
  /// Of the step's at_most; halts if that needs a datum which is missing.
  std::optional<Second> time_limit(const Step& step);
  /// As the step says, no faster than the lines allow and no slower than freshness does while energised.
  Second sampling_period(const Step& step) const;
  Task<void> sample_step(const Step& step);
  Task<bool> take_sample();
  /// Off until resume(); the step's clocks are put on by as much.
  Task<void> stand_still();
  Task<void> pause_in(const Step& step);
  /// With the run and the last minute of its samples, so that a person finds what led to it.
  Sentence with_samples(const Sentence& reason) const;
  /// A current that strayed from its setting once is asked for again: a line may flip a digit, and one such
  /// reading in the trace would cost the finding.
  Task<Result<Sample>> sample_twice_if_it_strays();
  /// The newest reading shows that an instrument set to this current gives none.
  bool is_off_by_itself(Ampere set) const;
  /// The load says so; false if its profile can't ask.
  Task<bool> cut_off_by_instrument();
  /// Halts if the load's own cut-off can't have been the battery's doing, or came before its full current.
  void doubt_cut_off(const Step& step, Ampere set);
  /// What a cut-off at this stage of a ramp says of the clamps and the battery.
  void blame_cut_off(const Step& step, Ampere stage);
  /// A load that did not go on: halts if that was its cut-off, or may have been. `error` must outlive it.
  Task<void> blame_ramp(const Step& step, Ampere stage, const Error& error);
  Task<void> de_energise();
  Task<void> recheck();
  /// While drawing: what the other meter says of the same posts.
  Task<void> compare_meters();
  void protect(const Sample& sample);
  /// Ends the run: the clamps, or the battery.
  void suspect_joint(Collapse collapse);
  void stop_by(const Condition& condition);
  void heed(std::optional<WatchAlarm> alarm);
  /// What looks like a clamp may be an instrument that is no longer itself: asked before the clamp is blamed.
  Task<void> blame_clamp();
  std::optional<std::string> ended_by(const Step& step);
  /// What the load cut off looked like a bad clamp at the reading before: ends the run as that, and is true.
  bool ended_by_clamps(const Step& step);
  /// The readings of a step that waits for stability have become stable.
  bool is_stable(const Step& step) const;
  void compute(const Step& step);
  void update_values(const Step& step, const Sample& sample);
  void halt(RunOutcome outcome, const Sentence& reason);
  /// Off was not read back as off: whatever ended the run, this comes with it.
  void shout(const Error& not_off);
  void arm_stale();
  void halt_stale();
  bool halted() const { return halt_.has_value(); }
  Result<double> value(const Expression& expression) const;
  Instrument* active() const;

  RunOrder order_;
  PlaceInstruments& instruments_;
  Clocks clocks_;
  Store& store_;
  Signal wake_;
  Timer stale_timer_;
  std::optional<Recorder> recorder_;
  Envelope envelope_;
  std::vector<Envelope> envelopes_;  ///< one for each frame of the procedure
  Values values_;
  Coulomb unmeasured_{0.0};
  Coulomb step_unmeasured_{0.0};
  int interruptions_ = 0;
  Second interrupted_{0.0};
  std::optional<Instant> stands_since_;
  std::optional<Volt> rested_;  ///< with nothing on, before this step
  Energy energy_ = Energy::none;
  FollowWatch follow_;
  FrozenWatch frozen_;
  RunWatches watches_;
  std::optional<WatchAlarm> suspicion_;
  std::optional<Halt> halt_;
  std::optional<Sentence> pause_;
  RunResult result_;
  std::size_t step_ = 0;
  std::size_t next_step_ = 0;
  std::vector<int> backs_;                        ///< how often each decide step has gone back
  std::map<std::string, std::string> estimated_;  ///< steps done by `instead`, with its note
  const Question* question_ = nullptr;
  std::optional<std::string> answer_;
  Ampere set_amps_{0.0};  ///< to which the load is set
  Joule step_energy_{0.0};
  Coulomb energy_counted_{0.0};  ///< charge of the step that is in it
  Instant step_started_;
  std::optional<VoltPerSecond> slope_;  ///< of the step, fitted when it was due last
  Instant slope_due_;
  std::string attended_because_;
  Instant recheck_due_;
  std::optional<Instant> halted_at_;
  Instant good_at_;                  ///< bench time of the last good sample
  std::optional<Ampere> ramp_amps_;  ///< set while a draw ramps up
  std::vector<std::optional<Instant>> held_since_;
  mutable ForecastTrack forecast_;  ///< follows the trace when it is asked
};

/// Bench time that a step is expected to last, for people only: never used to decide anything.
std::optional<Second> expected_length(const Step& step, const Values& values);

}  // namespace leadwright
