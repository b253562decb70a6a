// SPDX-License-Identifier: Apache-2.0
// The part of a probe that holds a connected instrument against its profile. Thread: that of the clock.
// Never: enables anything; the instrument was read back as off before.
#pragma once

#include <optional>
#include <string>

#include "drivers/instrument.h"
#include "tools/client/instrument/probe_report.h"
#include "tools/client/instrument/wire_log.h"

namespace leadwright {

class ProfileProbe {
 public:
  /// `log` has heard the instrument's link since before it was opened. `is_loud` goes false while exchanges
  /// come by the hundred.
  ProfileProbe(Instrument& instrument, WireLog& log, Clock& machine, ProbeReport& report, bool& is_loud);

  /// Adds what it finds to the report. Fails with link_lost only.
  Task<Result<void>> look(int samples, bool settings);

 private:
  using Verdict = ProbeFinding::Verdict;
  void look_at_identity();
  void look_at_first_errors();
  Task<Result<void>> look_at_samples(int count);
  void judge_latency(std::size_t first_piece, Second period);
  Task<Result<void>> look_at_faults();
  Task<Result<void>> try_settings();
  Task<Result<void>> try_setting(const Setting& setting);
  /// What the instrument holds now, by the profile's own read-back; nothing if that can't be told.
  Task<std::optional<double>> present_value(const Setting& setting);
  Task<Result<void>> look_at_last_errors();
  /// Past the conversation of the instrument, which keeps no answers; with the profile's gap on both sides.
  Task<Result<std::string>> ask(std::string question);
  /// link_lost goes on as a failure; anything else is a finding.
  Result<void> found_wrong(const char* subject, const Error& error);

  Instrument& instrument_;
  const Profile& profile_;
  WireLog& log_;
  Clock& machine_;
  ProbeReport& report_;
  bool& is_loud_;
};

}  // namespace leadwright
