// SPDX-License-Identifier: Apache-2.0
// What a certificate states about one graded visit of one battery. For: the page, the label and the
// signature, which all say the same because they are made from this value. Pure values; any thread. Never:
// draws, reads a store, or states what nobody measured. Read next: contents.h (how it is made), statement.h
// (what is signed), document.h (the file with page and signature).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "daemon/clock/instant.h"
#include "daemon/quantities/quantity.h"

namespace leadwright {

/// "Chemistry", "agm".
struct CertificateFact {
  std::string name;
  std::string value;
};

/// How far a number may be believed: a lower bound, an estimate or a forecast is never shown as a
/// measurement.
enum class FindingKind { measured, at_least, estimated, forecast };
const char* word(FindingKind kind);

struct CertifiedFinding {
  FindingKind kind = FindingKind::measured;
  std::string name;
  std::string value;       ///< "96.4 +- 3.1 min", with the expanded uncertainty, k = 2
  std::string conditions;  ///< how, at which temperature, referred to what
  std::string run;         ///< "R-000004"; empty for a reading that was typed
};

struct CertifiedInstrument {
  std::string name;         ///< "bay-1.load"
  std::string identity;     ///< as it states itself
  std::string calibration;  ///< "calibrated until 2027-03-01", or that nobody said
};

struct PlotPoint {
  Second at;
  Volt volts;
};

/// Voltage of the discharge that the grade rests on, or of another one if it rests on none.
struct CertifiedPlot {
  std::string title;              ///< "Voltage during R-000004, reserve capacity"
  std::vector<PlotPoint> points;  ///< in order of time, at most plot_points_max, which keep each dip
  std::optional<Volt> cutoff;     ///< drawn as a line
  std::string end;                ///< "ended at 10.50 V" or "stopped there, before its end"
};

inline constexpr std::size_t plot_points_max = 240;

/// The bench's own letter, where two persons let another one stand. They are not named: a signed page can't
/// be erased, and the bench keeps who they were.
struct OwnLetter {
  char letter = 'U';
  std::string meaning;
  std::string why;  ///< the persons' reason for theirs
  Utc set_at;
};

/// Every text is one line of UTF-8 without control characters. What is empty is not stated.
struct Certificate {
  std::string ticket;
  bool simulated = false;
  char letter = 'U';    ///< that stands
  std::string meaning;  ///< of the letter: "sound"
  std::optional<OwnLetter> own_letter;
  std::string reason;   ///< the bench's, for its own letter
  std::string minutes;  ///< "96.4 +- 3.1 min", "at least 96 min, stopped there", "not measured"
  std::string disposition;
  std::string warranty;
  std::string second_life;
  std::vector<std::string> flags;
  Utc graded_at;
  std::string policy;
  std::string policy_hash;
  std::string software;  ///< that graded it
  std::vector<CertificateFact> nameplate;
  std::vector<CertificateFact> visit;  ///< story and inspection
  std::vector<std::string> faults;
  std::vector<CertifiedFinding> findings;  ///< the most telling first
  std::vector<std::string> rules;          ///< of the policy, as they were applied
  std::optional<CertifiedPlot> plot;
  std::vector<std::string> not_measured;
  std::vector<std::string> remembered;  ///< values from memory, without a source, that the grade rests on
  std::vector<std::string> overrides;   ///< where a person's word stood in for a measurement
  std::vector<std::string> work;        ///< runs before the grade, with procedure, version and outcome
  std::vector<CertifiedInstrument> instruments;
  std::vector<std::string> cautions;
};

}  // namespace leadwright
