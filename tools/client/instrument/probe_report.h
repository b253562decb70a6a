// SPDX-License-Identifier: Apache-2.0
// What a probe found, for people and as JSON. Pure; any thread.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "drivers/instrument.h"
#include "drivers/profile.h"
#include "tools/client/instrument/latency.h"

namespace leadwright {

/// One thing that was looked at.
struct ProbeFinding {
  enum class Verdict {
    right,   ///< as the profile says
    wrong,   ///< not as the profile says
    notice,  ///< neither, but worth a look
  } verdict = Verdict::right;
  std::string subject;  ///< "identity", "sample", "set_amps"
  std::string text;
};
const char* word(ProbeFinding::Verdict verdict);

struct ProbeReport {
  std::string link;
  std::string settings;  ///< "115200 8N1"; empty unless serial
  std::string protocol;
  std::string identity;
  std::string profile;  ///< file; empty if none was given
  std::vector<ProbeFinding> findings;
  std::optional<Reading> reading;
  std::optional<Latency> latency;
  std::vector<std::string> unproved;

  void add(ProbeFinding::Verdict verdict, std::string subject, std::string text) {
    findings.push_back({verdict, std::move(subject), std::move(text)});
  }
  bool is_right() const;
};

/// The findings, and what was not proved, as lines for people.
std::string show_probe(const ProbeReport& report);
/// One JSON object.
std::string probe_json(const ProbeReport& report);

/// "12.660 V, 0.000 A, 25.00 degC" of what the profile's sample gives; "no volts" for what is missing.
std::string shown_reading(const Profile& profile, const Reading& reading);

/// What no probe can show for an instrument of this profile without energy or a hand at the plug.
std::vector<std::string> unproved(const Profile& profile, bool tried_settings);

}  // namespace leadwright
