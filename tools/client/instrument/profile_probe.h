// SPDX-License-Identifier: Apache-2.0
// The part of a probe that holds a connected instrument against its profile. Thread: that of the clock.
// Never: enables anything; the instrument was read back as off before.
#pragma once

#include <optional>
#include <string>

#include "drivers/conversation.h"
#include "drivers/instrument.h"
#include "tools/client/instrument/probe_report.h"
#include "tools/client/instrument/wire_log.h"

namespace leadwright {

class ProfileProbe {
 public:
  /// `aside` shares the instrument's line, for questions whose answers the instrument does not keep. `log`
  /// has heard the line since before it was opened. `is_loud` goes false while exchanges come by the hundred.
  ProfileProbe(Instrument& instrument, Conversation& aside, WireLog& log, ProbeReport& report, bool& is_loud);

  /// Adds what it finds to the report. Fails with link_lost only.
  Task<Result<void>> look(int samples, bool settings);

 private:
  using Verdict = ProbeFinding::Verdict;
  void look_at_identity();
  void look_at_first_errors();
  Task<Result<void>> look_at_samples(int count);
  /// One sample, or for a box one look at its inputs or outputs.
  Task<Result<void>> take_sample();
  void show_sample();
  void judge_latency(std::size_t first_piece);
  Task<Result<void>> look_at_faults();
  Task<Result<void>> try_settings();
  Task<Result<void>> try_setting(const Setting& setting);
  /// What the instrument holds now, by the profile's own read-back; nothing if that can't be told.
  Task<std::optional<double>> present_value(const Setting& setting);
  Task<Result<void>> look_at_last_errors();
  /// link_lost goes on as a failure; anything else is a finding.
  Result<void> found_wrong(const char* subject, const Error& error);

  Instrument& instrument_;
  Conversation& aside_;
  const Profile& profile_;
  WireLog& log_;
  ProbeReport& report_;
  bool& is_loud_;
  std::string sample_text_;
  bool is_whole_ = true;  ///< the last sample lacks nothing
};

}  // namespace leadwright
