// SPDX-License-Identifier: Apache-2.0
// How far a run has come: what another daemon must know to go on with it after this one has died. Values
// only; the run writes it (../place/run_journal.cpp), the store keeps the newest of each run, the bench reads
// it at its next start (../queue/interrupted.cpp).
#pragma once

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "daemon/battery/sample.h"
#include "daemon/battery/ticket.h"

namespace leadwright {

/// True at one moment, together with the trace that was handed to the store until then. Charges have the sign
/// of the samples: negative into the battery.
struct RunJournal {
  /// What is written by another format is not read.
  static constexpr int format = 1;

  RunId run{};
  Utc at;                        ///< of the last sample, or of the beginning of the step
  Instant bench_at;              ///< the same on the bench's clock, which means something until the next boot
  std::string started_by;        ///< who started the work, with codes in place of names
  std::string instruments;       ///< who the instruments of its place said they are
  std::string paused;            ///< why a person let it stand still; empty if it went on
  int interruptions = 0;         ///< so far
  Second interrupted{0.0};       ///< by them, in all
  Coulomb unmeasured{0.0};       ///< the most that may have gone in meanwhile; positive
  Coulomb step_unmeasured{0.0};  ///< of it, in this step

  std::size_t step = 0;   ///< index in the procedure of what was going on
  Second step_time{0.0};  ///< what counts of it, without pauses
  Second run_time{0.0};   ///< since the start of the run
  Ampere amps_max{0.0};   ///< the most that may have been given since `at`
  Coulomb step_charge{0.0};
  Coulomb run_charge{0.0};
  Joule step_energy{0.0};
  std::vector<int> backs;                                  ///< how often each decide step has gone back
  std::vector<std::vector<std::optional<double>>> own;     ///< values of own names, by frame and slot
  std::vector<std::pair<std::string, double>> parameters;  ///< as they were chosen, in SI
  std::map<std::string, std::string> estimated;            ///< steps done by a variant, with its note
  std::vector<Finding> findings;
  std::vector<Fault> faults;

  std::optional<Volt> rested;  ///< with nothing on, before this step
  std::optional<Volt> volts;   ///< last volts

  std::size_t samples = 0;             ///< of the trace until then
  int blocks = 0;                      ///< in which the store has them
  std::vector<Trace::StepSpan> spans;  ///< of the trace
};

/// A run that its daemon did not end.
struct StoredJournal {
  RunJournal journal;
  std::vector<Sample> samples;  ///< all that the store has of it
};

}  // namespace leadwright
