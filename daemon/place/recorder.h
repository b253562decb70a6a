// SPDX-License-Identifier: Apache-2.0
// Keeps a run's trace and hands it to the store in blocks, each with the run's journal as of then. Thread:
// control. Never waits for the store.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>

#include "daemon/clock/clock.h"
#include "daemon/store/store.h"

namespace leadwright {

class Recorder {
 public:
  /// A block is written when it covers this much bench time, or when this much machine time has passed.
  static constexpr Second block_span_max{60.0};
  static constexpr Second write_every{5.0};

  Recorder(RunId run, Clocks clocks, Store& store);
  Recorder(const Recorder&) = delete;
  Recorder& operator=(const Recorder&) = delete;
  ~Recorder();
  /// Goes on with what another daemon recorded, `elapsed` after the start of the run.
  void take_up(Trace trace, int blocks, Coulomb run_charge, Second elapsed);
  /// What is written with each block; nothing: no journal. The recorder fills in what it knows of the trace.
  std::function<std::optional<RunJournal>()> journal;
  /// Called in the same turn of the loop in which the store refuses a block, once: the place must come to
  /// rest.
  std::function<void(const Error&)> refused;

  /// Bench time since the start of the run.
  Second elapsed() const { return clocks_.bench.now() - started_; }
  Instant started() const { return started_; }
  void begin_step(int step, const std::string& name);
  /// After an interruption: `step_charge` of it moved before.
  void continue_step(int step, const std::string& name, Coulomb step_charge);
  void end_step(const std::string& end);
  void add(const Sample& sample);
  /// Writes what is left, and the journal.
  void flush();
  /// The same for the caller to write.
  Batch take();

  const Trace& trace() const { return trace_; }
  /// Ampere-seconds moved since the start of the current step and of the run, signed as the samples are.
  Coulomb step_charge() const { return step_charge_; }
  Coulomb run_charge() const { return run_charge_; }

 private:
  RunId run_;
  Clocks clocks_;
  Store& store_;
  Instant started_;
  Instant written_at_;
  Trace trace_;
  std::size_t written_ = 0;  ///< samples already handed to the store
  int sequence_ = 0;
  Coulomb step_charge_{0.0};
  Coulomb run_charge_{0.0};
  std::shared_ptr<Recorder*> self_;  ///< null once it is gone, or was told: the store may answer later
};

}  // namespace leadwright
